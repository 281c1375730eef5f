// What a fuzz target does when an invariant is broken: says which, and ends.
#pragma once

#include <cstdio>
#include <cstdlib>

namespace pairmark::fuzz {

inline void require(bool holds, const char* invariant) {
    if (holds) return;
    std::fprintf(stderr, "broken: %s\n", invariant);
    std::abort();
}

}  // namespace pairmark::fuzz
