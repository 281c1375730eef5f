#include "host/grading/state.hpp"

#include <algorithm>
#include <array>

namespace pairmark::grading {

namespace {

using record::InstrumentCheck;

constexpr std::array<std::string_view, 3> checks{"passed", "failed", "due"};
constexpr std::array<std::string_view, 2> sources{"instrument", "typed"};
constexpr std::array<std::string_view, 2> yes_no{"yes", "no"};

constexpr std::array<StateWord, 3> words{{
    {"instrument_check", checks, "what the lens meter's last check said when the lenses were measured"},
    {"source", sources, "whether the powers came from the instrument or were typed"},
    {"power_varies", yes_no,
     "a lens was measured at two places and has two powers: a segment or progressive"},
}};

/// The worse of the two lenses': failed before due before passed.
std::string_view check_of(const record::Pair& pair) {
    bool due = false;
    for (const auto* lens : {&pair.right, &pair.left}) {
        if (!*lens) continue;
        if ((*lens)->check == InstrumentCheck::failed) return checks[1];
        due = due || (*lens)->check == InstrumentCheck::due;
    }
    return due ? checks[2] : checks[0];
}

}  // namespace

std::span<const StateWord> state_words() {
    return words;
}

const StateWord* find_state(std::string_view name) {
    const auto* const found =
        std::find_if(words.begin(), words.end(), [name](const StateWord& word) { return word.name == name; });
    return found == words.end() ? nullptr : found;
}

std::string_view state_of(const record::Pair& pair, std::string_view name) {
    if (name == "power_varies") return yes_no[pair.power_varies ? 0 : 1];
    if (!pair.right && !pair.left) return {};
    if (name == "instrument_check") return check_of(pair);
    if (name != "source") return {};
    const bool typed = (pair.right && pair.right->typed) || (pair.left && pair.left->typed);
    return sources[typed ? 1 : 0];
}

}  // namespace pairmark::grading
