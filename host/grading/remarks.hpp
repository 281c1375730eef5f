// What a coordinator should know of rules that are valid: each is allowed, and each is seldom meant.
#pragma once

#include <string>
#include <vector>

#include "host/grading/rules.hpp"

namespace pairmark::grading {

/// `place` as in Mistake, with the rule's id: "rules[3] (strong-cylinder)".
struct Remark {
    std::string place;
    std::string say;
};

/// In the rules' order:
/// - a rule depends on the form of the cylinder;
/// - a rule asks of every pair, since it needs a mark that neither looking over nor the programme settles;
/// - a rule can never hold, or holds of every pair;
/// - two rules have one condition and different verdicts.
std::vector<Remark> remarks(const Rules& rules);

/// What the instrument must report for the rules to be told.
struct NeedsOfInstrument {
    bool addition = false;  // and the programme takes none for granted
    bool prism = false;
    bool centres = false;
};
NeedsOfInstrument needs_of_instrument(const Rules& rules);

}  // namespace pairmark::grading
