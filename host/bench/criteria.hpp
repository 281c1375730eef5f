// The sheet of criteria's content, from the rules. Pure.
#pragma once

#include <string>

#include "host/grading/rules.hpp"
#include "host/record/criteria.hpp"

namespace pairmark::bench {

/// `programme` is the sheet's title. `looked_over_at_bench`: by a key press a pair.
record::Criteria criteria_of(const grading::Rules& rules, const std::string& programme,
                             bool looked_over_at_bench);

}  // namespace pairmark::bench
