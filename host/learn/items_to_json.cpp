#include <array>
#include <cstdio>

#include "host/learn/check_sum_names.hpp"
#include "host/learn/items.hpp"
#include "protocol/profile.hpp"
#include "protocol/profile_items.hpp"

namespace pairmark::learn {

using namespace protocol;
using Json = nlohmann::ordered_json;
using View = std::span<const std::uint8_t>;

namespace {

constexpr std::array<const char*, 8> quantities{"sphere",           "cylinder",       "axis",    "addition",
                                                "horizontal_prism", "vertical_prism", "centres", "eye"};
constexpr std::array<const char*, 6> signs{"none",           "always",          "minus",
                                           "blank_for_plus", "always_but_zero", "blank_for_zero"};
constexpr std::array<const char*, 6> classes{"digits",           "hex_upper", "hex",
                                             "digits_or_blanks", "printable", "any"};
constexpr std::array<const char*, 5> encodings{"hex_upper", "hex_lower", "decimal", "raw", "half_bytes"};

Json range_to_json(unsigned least, unsigned most) {
    if (least == most) return least;
    return Json::array({least, most});
}

std::string hex(unsigned value) {
    std::array<char, 8> digits{};
    std::snprintf(digits.data(), digits.size(), "%04X", value);
    return digits.data();
}

void add_lens(Json& json, std::uint8_t target) {
    if ((target & target_second_lens) != 0) json["lens"] = 2;
}

Json word_to_json(View item) {
    const unsigned quantity = item[1] & 0x0F;
    std::array<const char*, 3> meanings{"none", "plus", "minus"};
    if (quantity == quantity_eye) meanings = {"unnamed", "right", "left"};
    if (quantity == quantity_horizontal_prism) meanings = {"none", "in", "out"};
    if (quantity == quantity_vertical_prism) meanings = {"none", "up", "down"};
    Json json{{"word", quantities.at(quantity)}};
    add_lens(json, item[1]);
    std::size_t at = 3;
    for (unsigned i = 0; i < item[2]; ++i) {
        Json& words = json[meanings.at(item[at])];
        const std::string word = text_of(item.subspan(at + 2, item[at + 1]));
        if (words.is_null())
            words = word;
        else if (words.is_string())
            words = Json::array({words, word});
        else
            words.push_back(word);
        at += 2U + item[at + 1];
    }
    return json;
}

Json number_to_json(View item) {
    Json json{{"number", quantities.at(item[1] & 0x0F)}};
    add_lens(json, item[1]);
    if (item[2] != sign_none) json["sign"] = signs.at(item[2]);
    json["width"] = range_to_json(item[5], item[6]);
    const unsigned decimals = item[3] & form_decimals;
    const unsigned point = item[3] & form_point;
    if (decimals != 0) {
        json["decimals"] = decimals;
        json["point"] = point == point_dot ? "." : point == point_comma ? "," : "implied";
    }
    Json padding = Json::array();
    if ((item[3] & form_blanks_before) != 0) padding.push_back("blanks_before_sign");
    if ((item[3] & form_blanks_after) != 0) padding.push_back("blanks_after_sign");
    if ((item[3] & form_zeros) != 0) padding.push_back("zeros");
    if ((item[3] & form_blanks_behind) != 0) padding.push_back("blanks_behind");
    if (!padding.empty()) json["padding"] = padding;
    if ((item[4] & blank_is_zero) != 0) json["blank"] = "zero";
    if ((item[4] & blank_is_absent) != 0) json["blank"] = "absent";
    if ((item[4] & bare_point) != 0) json["bare_point"] = true;
    return json;
}

Json check_sum_to_json(View item) {
    CheckSumForm form{item[1], item[2], profile_u16(&item[6]), profile_u16(&item[8]), profile_u16(&item[10])};
    const CheckSumForm own = form;
    Json json;
    std::string_view name = name_of(form);
    if (name.empty() && form.kind < check_crc) {  // a plain sum with another start or end has its plain name
        form.initial = form.final_xor = 0;
        name = name_of(form);
    }
    if (name.empty()) {
        form = {own.kind, own.bits, own.polynomial, 0, 0};
        json = {{"check_sum", "crc"}, {"bits", own.bits}, {"polynomial", hex(own.polynomial)}};
        if (own.kind == check_crc_reflected) json["reflected"] = true;
    } else {
        json = {{"check_sum", name}};
    }
    if (own.initial != form.initial) json["initial"] = hex(own.initial);
    if (own.final_xor != form.final_xor) json["final_xor"] = hex(own.final_xor);
    json["written"] = encodings.at(item[3] & 0x0F);
    if ((item[3] & encoding_low_first) != 0) json["low_first"] = true;
    if (item[4] != 0) json["from"] = item[4];
    if (item[5] != 0) json["until"] = item[5];
    return json;
}

std::size_t size_at(View items, std::size_t at) {
    const char* unused = "";
    return size_of_item(&items[at], items.size() - at, unused);
}

std::size_t else_in(View body);

struct Branch {
    View body;         // without its `else`
    View rest;         // empty: what follows comes next in either case
    std::size_t next;  // behind the whole branch
};

Branch branch_at(View items, std::size_t at) {
    const View body = items.subspan(at + branch_size, profile_u16(&items[at + 1]));
    const std::size_t end = at + branch_size + body.size();
    const std::size_t own = else_in(body);
    if (own == body.size()) return {body, {}, end};
    const View rest = items.subspan(end, profile_u16(&body[own + 1]));
    return {body.first(own), rest, end + rest.size()};
}

// Where the body's own `else` stands, or the body's size.
std::size_t else_in(View body) {
    std::size_t at = 0;
    while (at < body.size() && body[at] != item_else)
        at = body[at] == item_either ? branch_at(body, at).next : at + size_at(body, at);
    return at;
}

Json branch_to_json(const Branch& branch) {
    if (branch.rest.empty()) return {{"optional", items_to_json(branch.body)}};
    return {{"one_of", Json::array({items_to_json(branch.body), items_to_json(branch.rest)})}};
}

Json item_to_json(View item) {
    switch (item[0]) {
        case item_text:
            return text_of(item.subspan(2, item[1]));
        case item_word:
            return word_to_json(item);
        case item_number:
            return number_to_json(item);
        case item_changing:
            return {{"changing", classes.at(item[1])}, {"length", range_to_json(item[2], item[3])}};
        case item_check_sum:
            return check_sum_to_json(item);
        default:
            return {{"check_sum_from", "here"}};
    }
}

}  // namespace

std::string text_of(View bytes) {
    std::string text;
    for (const std::uint8_t byte : bytes) {
        if (byte < 0x80) {
            text += static_cast<char>(byte);
        } else {
            text += static_cast<char>(0xC0 | (byte >> 6));
            text += static_cast<char>(0x80 | (byte & 0x3F));
        }
    }
    return text;
}

Json items_to_json(View items) {
    Json list = Json::array();
    for (std::size_t at = 0; at < items.size();) {
        if (items[at] == item_either) {
            const Branch branch = branch_at(items, at);
            list.push_back(branch_to_json(branch));
            at = branch.next;
        } else {
            list.push_back(item_to_json(items.subspan(at)));
            at += size_at(items, at);
        }
    }
    return list;
}

}  // namespace pairmark::learn
