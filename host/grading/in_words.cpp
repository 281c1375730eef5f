#include "host/grading/in_words.hpp"

#include <algorithm>
#include <array>

#include "host/grading/number_words.hpp"
#include "host/grading/state.hpp"

namespace pairmark::grading {

namespace {

constexpr std::array<std::string_view, 4> bound_words{"over", "at least", "under", "at most"};
constexpr std::array<std::string_view, 4> of_lens{"of a lens", "of both lenses", "of the right lens",
                                                  "of the left lens"};
constexpr std::string_view minus = "\u2212";

std::string with_blanks(std::string_view name) {
    std::string text(name);
    std::replace(text.begin(), text.end(), '_', ' ');
    return text;
}

/// A lens's quantities are called by their names; the pair's names are too short for a sentence, so they are
/// called what the table says of them, up to its remark.
std::string subject(const Condition& condition) {
    const QuantityWord& word = word_of(condition.quantity);
    std::string text =
        word.of_one_lens ? with_blanks(word.name) : std::string(word.what.substr(0, word.what.find(';')));
    if (!text.starts_with("the ")) text.insert(0, "the ");
    if (word.of_one_lens) {
        text += ' ';
        text += of_lens[static_cast<std::size_t>(condition.lenses)];
    }
    return condition.measured ? text + ", as measured," : text;
}

std::string comparison(const Condition& condition, Bound bound) {
    return subject(condition) + " is " + std::string(bound_words[static_cast<std::size_t>(bound)]) + " " +
           value_in_words(word_of(condition.quantity), condition.limit, condition.limit);
}

template <typename Texts>
std::string joined(const Texts& texts, std::string_view between, std::string_view before_last) {
    std::string all;
    for (std::size_t i = 0; i < texts.size(); ++i) {
        if (i > 0) all += i + 1 == texts.size() ? before_last : between;
        all += texts[i];
    }
    return all;
}

std::string mark_words(const Condition& condition) {
    const std::string name = with_blanks(condition.mark);
    if (condition.values == std::vector<std::string>{"yes"}) return "marked " + name;
    if (condition.values == std::vector<std::string>{"no"}) return "marked not " + name;
    return "marked " + name + ": " + joined(condition.values, ", ", " or ");
}

/// Yes and no are answered by the sentence that tells what the state is.
std::string state_words(const Condition& condition) {
    if (condition.values == std::vector<std::string>{"yes"}) {
        const std::string_view what = find_state(condition.mark)->what;
        return std::string(what.substr(0, what.find(':')));
    }
    return "the " + with_blanks(condition.mark) + " is " + joined(condition.values, ", ", " or ");
}

bool is_joined(const Condition& condition) {
    return condition.kind == Condition::Kind::all || condition.kind == Condition::Kind::any;
}

/// In brackets where it would else run into what stands beside it.
std::string part_words(const Condition& part) {
    return is_joined(part) ? "(" + in_words(part) + ")" : in_words(part);
}

std::string joined_words(const Condition& condition) {
    std::vector<std::string> parts;
    std::transform(condition.parts.begin(), condition.parts.end(), std::back_inserter(parts), part_words);
    const bool all = condition.kind == Condition::Kind::all;
    if (parts.size() <= 2) return joined(parts, "", all ? " and " : " or ");
    return (all ? "all of: " : "any of: ") + joined(parts, "; ", "; ");
}

/// What holds exactly where the comparison does not: no "not" has to be read together with "a lens" or
/// "both".
std::string opposite_words(Condition comparison_of) {
    constexpr std::array<Bound, 4> bounds{Bound::at_most, Bound::under, Bound::at_least, Bound::over};
    constexpr std::array<Lenses, 4> lenses{Lenses::both, Lenses::either, Lenses::right, Lenses::left};
    comparison_of.lenses = lenses[static_cast<std::size_t>(comparison_of.lenses)];
    return comparison(comparison_of, bounds[static_cast<std::size_t>(comparison_of.bound)]);
}

std::string negated_words(const Condition& part) {
    if (part.kind == Condition::Kind::quantity) return opposite_words(part);
    if (part.kind == Condition::Kind::mark) return "not " + mark_words(part);
    return "it is not so that " + part_words(part);
}

}  // namespace

std::string value_in_words(const QuantityWord& quantity, double value, double limit) {
    std::string text = decimal(value, limit);
    // Powers are written with two decimals, millimetres with as many as say something.
    if (quantity.unit == "mm") {
        text.erase(text.find_last_not_of('0') + 1);
        if (text.back() == '.') text.pop_back();
    }
    if (text.front() == '-') {
        text.replace(0, 1, minus);
    } else if (quantity.least < 0 && text.find_first_not_of("0.") != std::string::npos) {
        text.insert(0, "+");
    }
    return quantity.unit.empty() ? text : text + " " + std::string(quantity.unit);
}

std::string in_words(const Condition& condition) {
    switch (condition.kind) {
        case Condition::Kind::quantity:
            return comparison(condition, condition.bound);
        case Condition::Kind::mark:
            return mark_words(condition);
        case Condition::Kind::state:
            return state_words(condition);
        case Condition::Kind::negation:
            return negated_words(condition.parts.front());
        default:
            return joined_words(condition);
    }
}

std::string_view word(Truth truth) {
    return truth == Truth::yes ? "holds" : truth == Truth::no ? "does not hold" : "cannot be told";
}

}  // namespace pairmark::grading
