#include "host/learn/check_sum_names.hpp"
#include "host/learn/items.hpp"
#include "protocol/profile.hpp"
#include "protocol/profile_items.hpp"

namespace pairmark::learn {

using namespace protocol;

namespace {

std::uint8_t byte(unsigned value) {
    return static_cast<std::uint8_t>(value);
}

unsigned optional_word(const Place& item, std::string_view member, unsigned otherwise,
                       std::initializer_list<Named> words) {
    return item.has(member) ? item[member].word(words) : otherwise;
}

std::uint8_t target_of(const Place& item, unsigned quantity) {
    const unsigned lens = item.has("lens") ? item["lens"].whole(1, 2) : 1;
    return byte(quantity | (lens == 2 ? target_second_lens : 0));
}

Bytes text_from_json(const Place& place) {
    const Bytes text = place.bytes(1, 255);
    Bytes bytes{item_text, byte(static_cast<unsigned>(text.size()))};
    bytes.insert(bytes.end(), text.begin(), text.end());
    return bytes;
}

// A meaning's words: one string, or a list of them.
void add_words(const Place& item, std::string_view member, Meaning meaning, Bytes& bytes, unsigned& count) {
    if (!item.has(member)) return;
    const Place value = item[member];
    const std::vector<Place> words = value.json().is_array() ? value.elements() : std::vector<Place>{value};
    for (const Place& place : words) {
        const Bytes word = place.bytes(0, 255);
        bytes.push_back(meaning);
        bytes.push_back(byte(static_cast<unsigned>(word.size())));
        bytes.insert(bytes.end(), word.begin(), word.end());
        ++count;
    }
}

Bytes word_from_json(const Place& item) {
    const unsigned quantity = item["word"].word({{"eye", quantity_eye},
                                                 {"horizontal_prism", quantity_horizontal_prism},
                                                 {"vertical_prism", quantity_vertical_prism},
                                                 {"sphere", quantity_sphere},
                                                 {"cylinder", quantity_cylinder},
                                                 {"addition", quantity_addition}});
    std::string_view plus = "plus";
    std::string_view minus = "minus";
    std::string_view none = "none";
    if (quantity == quantity_eye) plus = "right", minus = "left", none = "unnamed";
    if (quantity == quantity_horizontal_prism) plus = "in", minus = "out";
    if (quantity == quantity_vertical_prism) plus = "up", minus = "down";
    item.only({"word", "lens", plus, minus, none});
    Bytes words;
    unsigned count = 0;
    add_words(item, plus, meaning_plus, words, count);
    add_words(item, minus, meaning_minus, words, count);
    add_words(item, none, meaning_none, words, count);
    if (count == 0 || count > 255) item.refuse("expected 1 to 255 words");
    words.insert(words.begin(), {item_word, target_of(item, quantity), byte(count)});
    return words;
}

Bytes number_from_json(const Place& item) {
    item.only({"number", "lens", "sign", "width", "decimals", "point", "padding", "blank", "bare_point"});
    const unsigned quantity = item["number"].word({{"sphere", quantity_sphere},
                                                   {"cylinder", quantity_cylinder},
                                                   {"axis", quantity_axis},
                                                   {"addition", quantity_addition},
                                                   {"horizontal_prism", quantity_horizontal_prism},
                                                   {"vertical_prism", quantity_vertical_prism},
                                                   {"centres", quantity_centres}});
    if (quantity == quantity_centres && item.has("lens"))
        item.refuse("the distance between the centres belongs to no lens");
    const unsigned sign = optional_word(item, "sign", sign_none,
                                        {{"none", sign_none},
                                         {"always", sign_always},
                                         {"minus", sign_minus},
                                         {"blank_for_plus", sign_blank},
                                         {"always_but_zero", sign_but_zero},
                                         {"blank_for_zero", sign_blank_zero}});
    unsigned form = item.has("decimals") ? item["decimals"].whole(0, 3) : 0;
    if (form != 0)
        form |= item["point"].word({{".", point_dot}, {",", point_comma}, {"implied", point_implied}});
    else if (item.has("point"))
        item["point"].refuse("a number without decimals has no point");
    if (item.has("padding")) {
        for (const Place& padding : item["padding"].elements())
            form |= padding.word({{"blanks_before_sign", form_blanks_before},
                                  {"blanks_after_sign", form_blanks_after},
                                  {"zeros", form_zeros},
                                  {"blanks_behind", form_blanks_behind}});
    }
    unsigned blank = optional_word(item, "blank", 0, {{"zero", blank_is_zero}, {"absent", blank_is_absent}});
    if (item.has("bare_point") && item["bare_point"].yes_or_no()) blank |= bare_point;
    const auto [least, most] = item["width"].range(1, 32);
    return {item_number, target_of(item, quantity), byte(sign), byte(form), byte(blank), byte(least),
            byte(most)};
}

Bytes changing_from_json(const Place& item) {
    item.only({"changing", "length"});
    const unsigned characters = item["changing"].word({{"digits", class_digits},
                                                       {"hex_upper", class_hex_upper},
                                                       {"hex", class_hex},
                                                       {"digits_or_blanks", class_digits_or_blanks},
                                                       {"printable", class_printable},
                                                       {"any", class_any}});
    const auto [least, most] = item["length"].range(0, 255);
    if (most == 0) item["length"].expected("a length above 0");
    return {item_changing, byte(characters), byte(least), byte(most)};
}

CheckSumForm own_crc(const Place& item) {
    const bool reflected = item.has("reflected") && item["reflected"].yes_or_no();
    CheckSumForm form{};
    form.kind = byte(reflected ? check_crc_reflected : check_crc);
    form.bits = byte(item["bits"].whole(8, 16));
    if (form.bits != 8 && form.bits != 16) item["bits"].expected("8 or 16");
    form.polynomial = static_cast<std::uint16_t>(item["polynomial"].hex());
    if (form.polynomial == 0) item["polynomial"].expected("a polynomial");
    return form;
}

Bytes check_sum_from_json(const Place& item) {
    const Place name = item["check_sum"];
    if (!name.json().is_string()) name.expected("the name of a check sum");
    const auto& word = name.json().get_ref<const std::string&>();
    CheckSumForm form{};
    if (word == "crc") {
        item.only({"check_sum", "bits", "polynomial", "reflected", "initial", "final_xor", "written",
                   "low_first", "from", "until"});
        form = own_crc(item);
    } else {
        item.only({"check_sum", "initial", "final_xor", "written", "low_first", "from", "until"});
        const CheckSumForm* known = check_sum_named(word);
        if (known == nullptr) name.expected("crc, " + std::string(all_check_sum_names()));
        form = *known;
    }
    if (item.has("initial")) form.initial = static_cast<std::uint16_t>(item["initial"].hex());
    if (item.has("final_xor")) form.final_xor = static_cast<std::uint16_t>(item["final_xor"].hex());
    unsigned written = item["written"].word({{"hex_upper", encoding_hex_upper},
                                             {"hex_lower", encoding_hex_lower},
                                             {"decimal", encoding_decimal},
                                             {"raw", encoding_raw},
                                             {"half_bytes", encoding_half_bytes}});
    if (item.has("low_first") && item["low_first"].yes_or_no()) {
        if (form.bits != 16 || written == encoding_decimal)
            item["low_first"].refuse("only two bytes have an order");
        written |= encoding_low_first;
    }
    const unsigned from = item.has("from") ? item["from"].whole(0, 255) : 0;
    const unsigned until = item.has("until") ? item["until"].whole(0, 255) : 0;
    Bytes bytes{item_check_sum, form.kind, form.bits, byte(written), byte(from), byte(until)};
    put_u16(bytes, form.polynomial);
    put_u16(bytes, form.initial);
    put_u16(bytes, form.final_xor);
    return bytes;
}

Bytes spanning(Item kind, const Bytes& body, const Place& place) {
    if (body.size() > max_profile) place.refuse("too long for a profile");
    Bytes bytes{kind};
    put_u16(bytes, static_cast<unsigned>(body.size()));
    return bytes;
}

void append(Bytes& to, const Bytes& more) {
    to.insert(to.end(), more.begin(), more.end());
}

// The first of the ways, or the rest of them; a last way of no items is what follows an `either` without
// `else`.
Bytes ways_from_json(std::span<const Place> ways) {
    Bytes body = items_from_json(ways.front());
    if (ways.size() == 1) return body;
    const Bytes rest = ways_from_json(ways.subspan(1));
    if (!rest.empty()) append(body, spanning(item_else, rest, ways.front()));
    if (body.empty()) return {};
    Bytes bytes = spanning(item_either, body, ways.front());
    append(bytes, body);
    append(bytes, rest);
    return bytes;
}

Bytes one_of_from_json(const Place& item) {
    item.only({"one_of"});
    const std::vector<Place> ways = item["one_of"].elements();
    if (ways.size() < 2 || ways.size() > 9) item["one_of"].expected("2 to 9 lists of items");
    const Bytes bytes = ways_from_json(ways);
    if (bytes.empty()) item["one_of"].refuse("all ways are empty");
    return bytes;
}

Bytes optional_from_json(const Place& item) {
    item.only({"optional"});
    const Bytes body = items_from_json(item["optional"]);
    if (body.empty()) item["optional"].refuse("no items");
    Bytes bytes = spanning(item_either, body, item);
    append(bytes, body);
    return bytes;
}

Bytes mark_from_json(const Place& item) {
    item.only({"check_sum_from"});
    item["check_sum_from"].word({{"here", 0}});
    return {item_mark};
}

Bytes item_from_json(const Place& item) {
    if (item.json().is_string()) return text_from_json(item);
    if (item.has("word")) return word_from_json(item);
    if (item.has("number")) return number_from_json(item);
    if (item.has("changing")) return changing_from_json(item);
    if (item.has("check_sum")) return check_sum_from_json(item);
    if (item.has("one_of")) return one_of_from_json(item);
    if (item.has("optional")) return optional_from_json(item);
    if (item.has("check_sum_from")) return mark_from_json(item);
    item.expected(
        "text, or an object with word, number, changing, check_sum, one_of, optional or check_sum_from");
}

}  // namespace

void put_u16(Bytes& bytes, unsigned value) {
    bytes.push_back(byte(value & 0xFF));
    bytes.push_back(byte(value >> 8));
}

Bytes items_from_json(const Place& list) {
    Bytes bytes;
    for (const Place& item : list.elements()) {
        append(bytes, item_from_json(item));
        if (bytes.size() > max_profile) item.refuse("too long for a profile");
    }
    return bytes;
}

}  // namespace pairmark::learn
