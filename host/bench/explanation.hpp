// Why a pair got its verdict: what was measured and seen, every rule, and what came of them. Pure.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "host/bench/pair_search.hpp"

namespace pairmark::bench {

struct Explanation {
    /// Where the rules come from. decided: they settled the pair. in_force: nobody settled it yet, or a
    /// person did; these are the newest. other: they were named instead, and the bench knows nothing of them.
    enum class By { decided, in_force, other };
    FoundPair found;
    grading::Rules rules;
    By by = By::in_force;
    record::Verdict verdict;  // by these rules
};

/// By the pair's own rules, or by `other`. Precondition: the pair is not taken back whole.
Explanation explain_pair(FoundPair found, std::optional<grading::Rules> other);

/// For a terminal.
std::string text_of(const Explanation& explanation);

/// "pair", "state", "number", "rules" (name, date, sha256, by), "right", "left" (null, or power as measured
/// and on the label, addition), "centres", "marks", "looked_over", "conditions" (a rule each: truth, words,
/// seen, limit, parts) and "verdict" as everywhere.
nlohmann::json json_of(const Explanation& explanation);

}  // namespace pairmark::bench
