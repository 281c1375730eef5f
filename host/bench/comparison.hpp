// The rows of a store beside what its events lead to. Used by verify_store, whose header says what is put
// right and how.
#pragma once

#include <vector>

#include "host/bench/verify_store.hpp"

namespace pairmark::bench {

/// Every difference, in the order: events, pairs, labels, intents, numbers to come, quarantine. `writes`: the
/// same store, to be put right as the comparison goes; then inside a transaction. Null: nothing is changed.
std::vector<StoreDifference> compare(const store::Store& store, const Derived& right,
                                     const std::vector<WrongIndex>& wrong_index, store::Store* writes);

}  // namespace pairmark::bench
