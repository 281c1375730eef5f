// Every rule beside one pair: what held, what did not, what nobody could tell, and what was seen.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "host/grading/evaluate.hpp"
#include "host/grading/rules.hpp"

namespace pairmark::grading {

/// A condition and what came of it. Points into the rules.
struct Explained {
    /// Where a mark's or a state's value comes from. nobody: it is not known.
    enum class From { nobody, given, taken_for_granted, looked_over, measuring };

    const Condition* condition = nullptr;
    Truth truth = Truth::unknown;
    // A quantity: the value that settled it, of the lens that did. D or mm.
    std::optional<double> value;
    // A mark or a state.
    std::optional<std::string> word;
    From from = From::nobody;
    // Parts of all, any and not.
    std::vector<Explained> parts;
};

struct ExplainedRule {
    const Rule* rule = nullptr;
    Explained when;
};

/// All rules in their order. `rules` must outlive what is returned.
std::vector<ExplainedRule> explain(const Rules& rules, const record::Pair& pair);

/// "2.25 D" or "dark, given", "none, looked over": what a comparison saw. Empty where nothing was seen, and
/// for all, any and not.
std::string seen_in_words(const Explained& explained);

}  // namespace pairmark::grading
