// A session played again: the same pairs, verdicts and labels from the events alone, or what other rules
// would change.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "host/bench/pipeline.hpp"

namespace pairmark::bench {

/// A pair as it stood at the session's end.
struct ReplayedPair {
    record::Pair pair;
    record::Verdict verdict;
    std::string number;  // that its label bears; empty: none
    std::string place;
};

struct Replayed {
    std::vector<ReplayedPair> pairs;  // those undone to nothing left out
    std::int64_t events = 0;
    std::int64_t readings = 0;
    std::int64_t labels = 0;   // numbers given and not void
    std::int64_t numbers = 0;  // numbers given
    std::int64_t refused = 0;  // labels that were refused
    std::int64_t count(record::Decision decision) const;
};

using LabelTaker = std::function<void(const record::LabelFacts&, const record::LabelPaper&)>;

/// `rules`: in place of the session's own. `on_label` is called for every label that the session made, with
/// its facts and paper as they were when it was numbered; a label whose pair these rules would not keep is
/// left out.
Replayed replay(const std::vector<record::Event>& events, std::optional<grading::Rules> rules,
                const LabelTaker& on_label);

/// One pair that two replays judge differently.
struct Difference {
    const ReplayedPair* before;
    const ReplayedPair* after;
};
std::vector<Difference> differences(const Replayed& before, const Replayed& after);

}  // namespace pairmark::bench
