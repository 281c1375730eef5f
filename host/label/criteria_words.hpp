// The sheet's fixed sentences. Their substance is that of docs/volunteer.md and docs/safety.md.
#pragma once

#include <string>
#include <vector>

#include "host/record/criteria.hpp"
#include "host/record/mark.hpp"

namespace pairmark::label {

/// How a pair goes through the bench, a step each.
std::vector<std::string> bench_steps(const record::Criteria& criteria);

/// What is kept or turned down beside the rules, in the form of rules.
std::vector<record::Criterion> built_in_criteria(const record::Criteria& criteria);

/// What is asked beside the rules.
std::string also_asked(const record::Criteria& criteria);

/// What stands under "looked over, all in order".
std::string looked_over_intro(const record::Criteria& criteria);

/// What a mark's small drawings do not say; empty: nothing.
std::string hint_of(const record::MarkWord& mark);

/// "sides: sound (sides and joints)", for a mark without drawings.
std::string mark_sentence(const record::MarkWord& mark);

std::vector<std::string> cautions();

}  // namespace pairmark::label
