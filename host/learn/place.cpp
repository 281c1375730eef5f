#include "host/learn/place.hpp"

#include <algorithm>

#include "host/learn/profile_json.hpp"

namespace pairmark::learn {

namespace {

constexpr unsigned max_depth = 64;
constexpr auto replace = nlohmann::ordered_json::error_handler_t::replace;

std::string shown(const nlohmann::ordered_json& json) {
    std::string text = json.dump(-1, ' ', true, replace);
    if (text.size() > 40) text = text.substr(0, 37) + "...";
    return text;
}

std::string list_of(std::initializer_list<Named> words) {
    std::string list;
    for (const Named& named : words)
        list += (list.empty() ? "\"" : ", \"") + std::string(named.word) + '"';
    return list;
}

}  // namespace

void Place::expected(const std::string& what) const {
    refuse("expected " + what + ", found " + shown(*json_));
}

void Place::refuse(const std::string& sentence) const {
    throw BadProfile((where_.empty() ? "profile" : where_) + ": " + sentence);
}

void Place::only(std::initializer_list<std::string_view> members) const {
    if (!json_->is_object()) expected("an object");
    for (const auto& [name, value] : json_->items()) {
        if (std::find(members.begin(), members.end(), name) != members.end()) continue;
        std::string known;
        for (const std::string_view member : members)
            known += (known.empty() ? "" : ", ") + std::string(member);
        refuse("unknown member " + shown(name) + "; known here: " + known);
    }
}

bool Place::has(std::string_view member) const {
    return json_->is_object() && json_->contains(std::string(member));
}

Place Place::operator[](std::string_view member) const {
    if (!has(member)) refuse("member \"" + std::string(member) + "\" is missing");
    return {json_->at(std::string(member)), (where_.empty() ? "" : where_ + ".") + std::string(member),
            depth_ + 1};
}

std::vector<Place> Place::elements() const {
    if (!json_->is_array()) expected("a list");
    if (depth_ > max_depth) refuse("nested too deeply");
    std::vector<Place> list;
    for (std::size_t i = 0; i < json_->size(); ++i)
        list.emplace_back(json_->at(i), where_ + "[" + std::to_string(i) + "]", depth_ + 1);
    return list;
}

unsigned Place::whole(unsigned low, unsigned high) const {
    // A number too large for the signed kind is unsigned in the library, and out of every range here.
    if (json_->is_number_integer() && (!json_->is_number_unsigned() || json_->get<std::uint64_t>() <= high)) {
        const auto value = json_->get<std::int64_t>();
        if (value >= low && value <= high) return static_cast<unsigned>(value);
    }
    expected("a whole number from " + std::to_string(low) + " to " + std::to_string(high));
}

bool Place::yes_or_no() const {
    if (!json_->is_boolean()) expected("true or false");
    return json_->get<bool>();
}

unsigned Place::word(std::initializer_list<Named> words) const {
    if (json_->is_string()) {
        for (const Named& named : words)
            if (json_->get_ref<const std::string&>() == named.word) return named.value;
    }
    expected("one of " + list_of(words));
}

unsigned Place::hex() const {
    constexpr const char* what = "1 to 4 hex digits in a string";
    if (!json_->is_string()) expected(what);
    const auto& text = json_->get_ref<const std::string&>();
    if (text.empty() || text.size() > 4) expected(what);
    if (text.find_first_not_of("0123456789abcdefABCDEF") != std::string::npos) expected(what);
    return static_cast<unsigned>(std::stoul(text, nullptr, 16));
}

std::vector<std::uint8_t> Place::bytes(std::size_t least, std::size_t most) const {
    const std::string what = "a string of " + std::to_string(least) + " to " + std::to_string(most) +
                             " characters, each up to \\u00ff";
    if (!json_->is_string()) expected(what);
    const auto& text = json_->get_ref<const std::string&>();
    std::vector<std::uint8_t> bytes;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto c = static_cast<std::uint8_t>(text[i]);
        if (c < 0x80) {
            bytes.push_back(c);
            continue;
        }
        // U+0080 to U+00FF are C2 xx and C3 xx in UTF-8; everything above is no single byte.
        if ((c != 0xC2 && c != 0xC3) || i + 1 == text.size()) expected(what);
        const auto next = static_cast<std::uint8_t>(text[++i]);
        if ((next & 0xC0) != 0x80) expected(what);
        bytes.push_back(static_cast<std::uint8_t>(((c & 3) << 6) | (next & 0x3F)));
    }
    if (bytes.size() < least || bytes.size() > most) expected(what);
    return bytes;
}

std::pair<unsigned, unsigned> Place::range(unsigned low, unsigned high) const {
    if (!json_->is_array()) {
        const unsigned both = whole(low, high);
        return {both, both};
    }
    const std::vector<Place> ends = elements();
    if (ends.size() != 2) expected("a number, or [least, most]");
    const unsigned least = ends[0].whole(low, high);
    return {least, ends[1].whole(least, high)};
}

}  // namespace pairmark::learn
