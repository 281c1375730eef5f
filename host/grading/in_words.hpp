// Conditions as sentences for people. Every word comes from the tables of quantities and marks, so that what
// is new there has its words here.
#pragma once

#include <string>

#include "host/grading/condition.hpp"
#include "host/grading/evaluate.hpp"

namespace pairmark::grading {

/// "the cylinder of a lens is over 2.00 D", "marked tint: dark or changing", "marked broken", joined by "and"
/// and "or"; "not marked broken". Two conditions with the same words hold of the same pairs.
std::string in_words(const Condition& condition);

/// A value of this quantity with its unit: "2.00 D", "62 mm"; with its sign where the quantity can have
/// either
/// ("+8.00 D", "−10.00 D"), and with as many decimals as tell it from `limit`.
std::string value_in_words(const QuantityWord& quantity, double value, double limit);

/// "holds", "does not hold" or "cannot be told".
std::string_view word(Truth truth);

}  // namespace pairmark::grading
