// What can be said of a condition whatever the pair.
#pragma once

#include "host/grading/condition.hpp"

namespace pairmark::grading {

/// True if no pair at all fulfils the condition. A cheap look: limits outside what the quantity can be, and
/// parts of one `all` that leave a quantity or a mark no value. False where that does not settle it.
bool can_never_hold(const Condition& condition);

/// True if every pair fulfils it, as far as the same look tells.
bool always_holds(const Condition& condition);

}  // namespace pairmark::grading
