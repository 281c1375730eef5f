#include "host/record/words.hpp"

#include <array>
#include <utility>

#include "host/record/label.hpp"
#include "host/record/verdict.hpp"

namespace pairmark::record {
namespace {

template <typename Value, std::size_t n>
using Table = std::array<std::pair<Value, std::string_view>, n>;

constexpr Table<Eye, 2> eyes{{{Eye::right, "right"}, {Eye::left, "left"}}};

constexpr Table<Source, 2> sources{{{Source::instrument, "instrument"}, {Source::typed, "typed"}}};

constexpr Table<Key, 4> keys{{{Key::go_on, "go-on"},
                              {Key::turn_down, "turn-down"},
                              {Key::undo, "undo"},
                              {Key::set_aside, "set-aside"}}};

constexpr Table<PairState, 7> pair_states{{{PairState::open, "open"},
                                           {PairState::complete, "complete"},
                                           {PairState::asking, "asking"},
                                           {PairState::decided, "decided"},
                                           {PairState::labelled, "labelled"},
                                           {PairState::turned_down, "turned-down"},
                                           {PairState::gone, "gone"}}};

constexpr Table<InstrumentCheck, 3> instrument_checks{{{InstrumentCheck::due, "due"},
                                                       {InstrumentCheck::passed, "passed"},
                                                       {InstrumentCheck::failed, "failed"}}};

constexpr Table<Decision, 3> decisions{
    {{Decision::keep, "keep"}, {Decision::discard, "discard"}, {Decision::ask, "ask"}}};

constexpr Table<PrintOutcome, 8> print_outcomes{{{PrintOutcome::waiting, "waiting"},
                                                 {PrintOutcome::sending, "sending"},
                                                 {PrintOutcome::printed, "printed"},
                                                 {PrintOutcome::confirmed, "confirmed"},
                                                 {PrintOutcome::failed, "failed"},
                                                 {PrintOutcome::held, "held"},
                                                 {PrintOutcome::in_doubt, "in-doubt"},
                                                 {PrintOutcome::void_, "void"}}};

constexpr Table<LinkHealth, 6> link_healths{{{LinkHealth::absent, "absent"},
                                             {LinkHealth::opening, "opening"},
                                             {LinkHealth::silent, "silent"},
                                             {LinkHealth::greeting, "greeting"},
                                             {LinkHealth::healthy, "healthy"},
                                             {LinkHealth::clash, "clash"}}};

template <typename Value, std::size_t n>
constexpr std::string_view word_of(const Table<Value, n>& table, Value value) {
    for (const auto& [known, word] : table) {
        if (known == value) return word;
    }
    return "?";
}

template <typename Value, std::size_t n>
constexpr std::optional<Value> value_of(const Table<Value, n>& table, std::string_view word) {
    for (const auto& [value, known] : table) {
        if (known == word) return value;
    }
    return std::nullopt;
}

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/// The number that `count` digits at `at` say, or -1.
int digits(std::string_view text, std::size_t at, std::size_t count) {
    int value = 0;
    for (std::size_t i = at; i < at + count; ++i) {
        if (!is_digit(text[i])) return -1;
        value = value * 10 + (text[i] - '0');
    }
    return value;
}

/// Length of the UTF-8 character at the front of `text` and the character itself; length 0 if it is none.
std::pair<std::size_t, char32_t> first_character(std::string_view text) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned char lead = byte(0);
    if (lead < 0x80) return {1, lead};
    const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
    if (lead < 0xC2 || lead > 0xF4 || text.size() < length) return {0, 0};
    char32_t c = lead & (0x7FU >> length);
    for (std::size_t i = 1; i < length; ++i) {
        if ((byte(i) & 0xC0) != 0x80) return {0, 0};
        c = (c << 6) | (byte(i) & 0x3F);
    }
    const char32_t least = length == 2 ? 0x80 : length == 3 ? 0x800 : 0x10000;
    if (c < least || c > 0x10FFFF || (c >= 0xD800 && c <= 0xDFFF)) return {0, 0};
    return {length, c};
}

}  // namespace

std::string_view word(Eye eye) {
    return word_of(eyes, eye);
}
std::string_view word(Source source) {
    return word_of(sources, source);
}
std::string_view word(Key key) {
    return word_of(keys, key);
}
std::string_view word(InstrumentCheck check) {
    return word_of(instrument_checks, check);
}

std::string_view word(PairState state) {
    return word_of(pair_states, state);
}
std::string_view word(Decision decision) {
    return word_of(decisions, decision);
}
std::string_view word(PrintOutcome outcome) {
    return word_of(print_outcomes, outcome);
}
std::string_view word(LinkHealth health) {
    return word_of(link_healths, health);
}

std::optional<Eye> eye_from(std::string_view word) {
    return value_of(eyes, word);
}
std::optional<Source> source_from(std::string_view word) {
    return value_of(sources, word);
}
std::optional<Key> key_from(std::string_view word) {
    return value_of(keys, word);
}
std::optional<PairState> pair_state_from(std::string_view word) {
    return value_of(pair_states, word);
}
std::optional<PrintOutcome> print_outcome(std::string_view word) {
    return value_of(print_outcomes, word);
}

std::string in_quotes(std::string_view foreign) {
    constexpr std::size_t most = 40;
    constexpr std::string_view hex = "0123456789abcdef";
    std::string out = "\"";
    for (const char c : foreign.substr(0, most)) {
        const auto byte = static_cast<unsigned char>(c);
        if (byte >= 0x20 && byte < 0x7F) {
            out += c;
        } else {
            out += "\\x";
            out += hex[byte >> 4];
            out += hex[byte & 15];
        }
    }
    out += foreign.size() > most ? "...\"" : "\"";
    return out;
}

bool is_utf8(std::string_view text, int* characters) {
    int count = 0;
    bool control = false;
    while (!text.empty()) {
        const auto [length, c] = first_character(text);
        if (length == 0) return false;
        control = control || c < 0x20 || (c >= 0x7F && c < 0xA0);
        ++count;
        text.remove_prefix(length);
    }
    if (characters != nullptr) *characters = control ? -1 : count;
    return true;
}

bool is_hex(std::string_view text, std::size_t digit_count) {
    return text.size() == digit_count &&
           text.find_first_not_of("0123456789abcdefABCDEF") == std::string_view::npos;
}

bool is_date(std::string_view text) {
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') return false;
    const int year = digits(text, 0, 4);
    const int month = digits(text, 5, 2);
    const int day = digits(text, 8, 2);
    if (year < 1 || month < 1 || month > 12 || day < 1) return false;
    constexpr std::array<int, 12> days{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    const bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return day <= days[static_cast<std::size_t>(month - 1)] + (month == 2 && leap ? 1 : 0);
}

bool is_moment(std::string_view text) {
    if (text.size() != 24 || !is_date(text.substr(0, 10))) return false;
    if (text[10] != 'T' || text[13] != ':' || text[16] != ':' || text[19] != '.' || text[23] != 'Z')
        return false;
    const int hour = digits(text, 11, 2);
    const int minute = digits(text, 14, 2);
    const int second = digits(text, 17, 2);  // 60: a leap second
    return hour >= 0 && hour < 24 && minute >= 0 && minute < 60 && second >= 0 && second <= 60 &&
           digits(text, 20, 3) >= 0;
}

}  // namespace pairmark::record
