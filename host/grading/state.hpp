// What a rule may ask that is neither measured nor marked: how the measuring stood. docs/rules.md lists the
// same; a test compares them.
#pragma once

#include <span>
#include <string_view>

#include "host/record/pair.hpp"

namespace pairmark::grading {

struct StateWord {
    std::string_view name;
    std::span<const std::string_view> values;
    std::string_view what;  // for people
};

std::span<const StateWord> state_words();
const StateWord* find_state(std::string_view name);

/// The pair's value of that state, one of the word's values; empty while it cannot be told: no lens is
/// measured, or there is no such state.
std::string_view state_of(const record::Pair& pair, std::string_view name);

}  // namespace pairmark::grading
