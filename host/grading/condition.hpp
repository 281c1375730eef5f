// A rule's condition, compiled: what is compared with what.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "host/grading/quantity.hpp"

namespace pairmark::grading {

/// Which lenses a quantity of one lens is taken of. either: one that fits is enough; both: both must fit.
enum class Lenses { either, both, right, left };

enum class Bound { over, at_least, under, at_most };

struct Condition {
    enum class Kind { quantity, mark, state, all, any, negation };
    Kind kind = Kind::all;

    // quantity
    Quantity quantity = Quantity::cylinder;
    Lenses lenses = Lenses::either;
    Bound bound = Bound::over;
    double limit = 0;
    bool measured = false;  // the unrounded values instead of the label's

    // mark, state: it has one of these values
    std::string mark;
    std::vector<std::string> values;
    std::optional<std::string>
        granted;  // its value where nobody gave one and the programme takes one for granted
    std::optional<std::string> in_order;  // its value where the pair was looked over and nobody gave one

    // all, any: at least one; negation: exactly one
    std::vector<Condition> parts;
};

}  // namespace pairmark::grading
