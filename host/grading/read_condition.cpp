// Conditions from JSON.
#include <algorithm>
#include <array>
#include <cstdio>

#include "host/grading/nearest_word.hpp"
#include "host/grading/reader.hpp"
#include "host/grading/state.hpp"

namespace pairmark::grading {

namespace {

constexpr int deepest = 12;
constexpr std::size_t most_parts = 100;

constexpr std::array<std::string_view, 6> kinds{"quantity", "mark", "state", "all", "any", "not"};
constexpr std::array<std::string_view, 4> bounds{"over", "at_least", "under", "at_most"};
constexpr std::array<std::string_view, 4> lens_words{"either", "both", "right", "left"};

std::string brief(double number) {
    std::array<char, 32> text{};
    (void)std::snprintf(text.data(), text.size(), "%g", number);
    return text.data();
}

void read_limit(const ObjectReader& object, const QuantityWord& word, Condition& condition) {
    int given = 0;
    for (std::size_t i = 0; i < bounds.size(); ++i) {
        const Json* limit = object.member(bounds[i]);
        if (limit == nullptr) continue;
        ++given;
        condition.bound = static_cast<Bound>(i);
        if (limit->is_number()) condition.limit = limit->get<double>();
        // Written so that a limit that is no number at all fails it too.
        if (!limit->is_number() || !(condition.limit >= word.least && condition.limit <= word.most)) {
            object.note(bounds[i], "expected a number from " + brief(word.least) + " to " + brief(word.most) +
                                       " (" + std::string(word.unit) + "; " + std::string(word.what) +
                                       "), not " + shown(*limit));
        }
    }
    if (given != 1) {
        object.note({}, std::string(given == 0 ? "a limit is missing" : "there is more than one limit") +
                            "; expected exactly one of " + one_of(bounds));
    }
}

void read_quantity(const Json& json, const std::string& place, Condition& condition,
                   std::vector<Mistake>& mistakes) {
    const ObjectReader object(
        json, place, {"quantity", "lens", "over", "at_least", "under", "at_most", "measured"}, mistakes);
    condition.kind = Condition::Kind::quantity;
    std::vector<std::string_view> names;
    for (const QuantityWord& known : quantity_words()) {
        names.push_back(known.name);
    }
    const std::optional<std::string> name = object.word("quantity", names);
    const std::optional<std::string> lens = object.word("lens", lens_words);
    condition.measured = object.yes_no("measured").value_or(false);
    if (lens) {
        const auto found = std::find(lens_words.begin(), lens_words.end(), *lens);
        condition.lenses = static_cast<Lenses>(found - lens_words.begin());
    }
    if (!name) return;
    const QuantityWord& word = *find_quantity(*name);
    condition.quantity = word.quantity;
    if (!word.of_one_lens && object.member("lens") != nullptr) {
        object.note("lens", "\"" + *name + "\" is of the pair, not of a lens; leave \"lens\" out");
    }
    if (!word.as_on_label && object.member("measured") != nullptr) {
        object.note("measured", "\"" + *name + "\" is never rounded; leave \"measured\" out");
    }
    read_limit(object, word, condition);
}

void read_mark(const Json& json, const std::string& place, Condition& condition,
               std::vector<Mistake>& mistakes) {
    const ObjectReader object(json, place, {"mark", "is"}, mistakes);
    condition.kind = Condition::Kind::mark;
    std::vector<std::string_view> names;
    for (const record::MarkWord& known : record::mark_vocabulary()) {
        names.push_back(known.name);
    }
    const std::optional<std::string> name = object.word("mark", names);
    const Json* values = object.required("is", "a list of the mark's values");
    if (name) condition.mark = *name;
    if (values == nullptr) return;
    if (!values->is_array() || values->empty() || values->size() > most_parts) {
        object.note("is", "expected a list of 1 to " + std::to_string(most_parts) +
                              " values, as in [\"yes\"], not " + shown(*values));
        return;
    }
    for (std::size_t i = 0; i < values->size(); ++i) {
        const std::string here = object.place("is") + "[" + std::to_string(i) + "]";
        const std::optional<std::string> value = read_text((*values)[i], here, mistakes);
        if (!value || !name) continue;
        if (const auto fault = record::fault_in_mark(*name, *value)) mistakes.push_back({here, *fault});
        condition.values.push_back(*value);
    }
}

void read_state(const Json& json, const std::string& place, Condition& condition,
                std::vector<Mistake>& mistakes) {
    const ObjectReader object(json, place, {"state", "is"}, mistakes);
    condition.kind = Condition::Kind::state;
    std::vector<std::string_view> names;
    for (const StateWord& known : state_words()) {
        names.push_back(known.name);
    }
    const std::optional<std::string> name = object.word("state", names);
    const Json* values = object.required("is", "a list of the state's values");
    if (!name || values == nullptr) return;
    condition.mark = *name;
    const auto words = find_state(*name)->values;
    if (!values->is_array() || values->empty() || values->size() > words.size()) {
        object.note("is", "expected a list of some of " + one_of(words) + ", not " + shown(*values));
        return;
    }
    for (std::size_t i = 0; i < values->size(); ++i) {
        const std::string here = object.place("is") + "[" + std::to_string(i) + "]";
        const std::optional<std::string> value = read_text((*values)[i], here, mistakes);
        if (!value) continue;
        if (std::find(words.begin(), words.end(), *value) == words.end())
            mistakes.push_back({here, "expected " + one_of(words) + ", not " + shown((*values)[i]) +
                                          did_you_mean(*value, words)});
        condition.values.push_back(*value);
    }
}

void read_parts(const Json& json, const std::string& place, int depth, Condition& condition,
                std::vector<Mistake>& mistakes) {
    if (!json.is_array() || json.empty() || json.size() > most_parts) {
        mistakes.push_back({place, "expected a list of 1 to " + std::to_string(most_parts) +
                                       " conditions, not " + shown(json)});
        return;
    }
    for (std::size_t i = 0; i < json.size(); ++i) {
        condition.parts.push_back(
            read_condition(json[i], place + "[" + std::to_string(i) + "]", depth + 1, mistakes));
    }
}

}  // namespace

Condition read_condition(const Json& json, const std::string& place, int depth,
                         std::vector<Mistake>& mistakes) {
    Condition condition;
    if (depth > deepest) {
        mistakes.push_back({place, "conditions are nested too deep; expected at most " +
                                       std::to_string(deepest) + " levels"});
        return condition;
    }
    if (!json.is_object()) {
        mistakes.push_back(
            {place,
             "expected a condition, as in {\"quantity\": \"cylinder\", \"over\": 2.00}, not " + shown(json)});
        return condition;
    }
    std::vector<std::string_view> given;
    std::copy_if(kinds.begin(), kinds.end(), std::back_inserter(given),
                 [&json](std::string_view kind) { return json.contains(kind); });
    if (given.size() != 1) {
        std::string hint;
        for (const auto& [name, value] : json.items()) {
            if (given.empty() && hint.empty()) hint = did_you_mean(name, kinds);
        }
        mistakes.push_back({place, "a condition has exactly one of " + one_of(kinds) + hint});
        return condition;
    }
    if (given[0] == "quantity") {
        read_quantity(json, place, condition, mistakes);
    } else if (given[0] == "mark") {
        read_mark(json, place, condition, mistakes);
    } else if (given[0] == "state") {
        read_state(json, place, condition, mistakes);
    } else {
        const ObjectReader object(json, place, {given[0]}, mistakes);
        const Json& inner = *object.member(given[0]);
        if (given[0] == "not") {
            condition.kind = Condition::Kind::negation;
            condition.parts.push_back(read_condition(inner, object.place("not"), depth + 1, mistakes));
        } else {
            condition.kind = given[0] == "all" ? Condition::Kind::all : Condition::Kind::any;
            read_parts(inner, object.place(given[0]), depth, condition, mistakes);
        }
    }
    return condition;
}

}  // namespace pairmark::grading
