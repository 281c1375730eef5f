// Kept pairs that have no label: the part of "on one label, or on a list that says why not" that no print
// intent tells of.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "host/store/store.hpp"

namespace pairmark::bench {

struct UnlabelledPair {
    std::int64_t pair = 0;
    std::string why;  // a sentence for people, with the next step
};

/// By pair, made from all events. Throws record::BadRecord or store::StoreFailure where the store cannot be
/// read.
std::vector<UnlabelledPair> unlabelled_pairs(const store::Store& store);

}  // namespace pairmark::bench
