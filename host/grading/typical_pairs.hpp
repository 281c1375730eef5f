// Pairs that nothing is wrong with, to try rules on.
#pragma once

#include "host/record/pair.hpp"

namespace pairmark::grading {

/// A complete pair of these lenses about which everything is known: looked over and in order, no addition, no
/// prism, centres 62 mm apart, a full rim, an adult's frame of middle size. `granted`: marks that the
/// programme takes for granted, and that are not given here.
record::Pair typical_pair(const optics::Power& right, const optics::Power& left,
                          const record::Marks& granted = {});

}  // namespace pairmark::grading
