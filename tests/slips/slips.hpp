// The slips, each as what the instrument shows while it is made.
#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "tests/slips/bench_day.hpp"

namespace pairmark::slips {

struct Slip {
    std::string_view name;  // as docs/safety.md names it
    bool never_on_a_label;  // caught every time: it must not make one wrong label
    /// Measures `pairs`, the first of them with the slip (or more, where it goes on); the others as they
    /// should be.
    void (*make)(BenchDay&, const std::vector<Spectacles>& pairs, Chance&);
};

std::span<const Slip> all_slips();

/// Right, then left, each named by the instrument.
void measure_well(BenchDay& day, const std::vector<Spectacles>& pairs, std::size_t at);

}  // namespace pairmark::slips
