#include "host/grading/reader.hpp"

#include <algorithm>

#include "host/grading/nearest_word.hpp"
#include "host/record/words.hpp"

namespace pairmark::grading {

namespace {

constexpr int longest_text = 200;

}  // namespace

std::string place_in(const std::string& place, std::string_view member) {
    return place.empty() ? std::string(member) : place + "." + std::string(member);
}

std::string shown(const Json& json) {
    if (json.is_string()) return record::in_quotes(json.get_ref<const std::string&>());
    if (json.is_object()) return "an object";
    if (json.is_array()) return "a list";
    return json.dump();
}

std::optional<std::string> read_text(const Json& json, const std::string& place,
                                     std::vector<Mistake>& mistakes) {
    int characters = 0;
    if (json.is_string() && record::is_utf8(json.get_ref<const std::string&>(), &characters) &&
        characters >= 1 && characters <= longest_text) {
        return json.get<std::string>();
    }
    mistakes.push_back({place, "expected a text of 1 to " + std::to_string(longest_text) +
                                   " characters on one line, not " + shown(json)});
    return std::nullopt;
}

ObjectReader::ObjectReader(const Json& json, std::string place,
                           std::initializer_list<std::string_view> members, std::vector<Mistake>& mistakes)
    : place_(std::move(place)), mistakes_(mistakes) {
    if (!json.is_object()) {
        mistakes_.push_back(
            {place_.empty() ? "the whole text" : place_, "expected an object, not " + shown(json)});
        return;
    }
    object_ = &json;
    const std::span<const std::string_view> known(members.begin(), members.size());
    for (const auto& [name, value] : json.items()) {
        if (std::find(known.begin(), known.end(), name) != known.end()) continue;
        note({}, "there is no member " + record::in_quotes(name) + ", only " + one_of(known) +
                     did_you_mean(name, known));
    }
}

const Json* ObjectReader::member(std::string_view name) const {
    if (object_ == nullptr) return nullptr;
    const auto found = object_->find(name);
    return found == object_->end() ? nullptr : &*found;
}

const Json* ObjectReader::required(std::string_view name, std::string_view expected) const {
    const Json* found = member(name);
    if (found == nullptr && object_ != nullptr) note(name, "missing; expected " + std::string(expected));
    return found;
}

std::optional<std::string> ObjectReader::text(std::string_view name) const {
    const Json* found = member(name);
    if (found == nullptr) return std::nullopt;
    return read_text(*found, place(name), mistakes_);
}

std::optional<bool> ObjectReader::yes_no(std::string_view name) const {
    const Json* found = member(name);
    if (found == nullptr) return std::nullopt;
    if (found->is_boolean()) return found->get<bool>();
    note(name, "expected true or false, not " + shown(*found));
    return std::nullopt;
}

std::optional<std::string> ObjectReader::word(std::string_view name,
                                              std::span<const std::string_view> words) const {
    const Json* found = member(name);
    if (found == nullptr) return std::nullopt;
    if (found->is_string()) {
        const auto& text = found->get_ref<const std::string&>();
        if (std::find(words.begin(), words.end(), text) != words.end()) return text;
        note(name, "expected " + one_of(words) + ", not " + shown(*found) + did_you_mean(text, words));
    } else {
        note(name, "expected " + one_of(words) + ", not " + shown(*found));
    }
    return std::nullopt;
}

void ObjectReader::note(std::string_view name, std::string say) const {
    const std::string where = name.empty() ? place_ : place(name);
    mistakes_.push_back({where.empty() ? "the whole text" : where, std::move(say)});
}

}  // namespace pairmark::grading
