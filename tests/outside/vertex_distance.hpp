// Vertex distance and index, for the tests alone: a label says what the focimeter measured and corrects
// nothing. Where it matters the dispenser does it, at the wearer's own vertex distance (docs/safety.md).
#pragma once

#include "host/optics/power.hpp"

namespace pairmark::tests {

/// The power, D, that does at `mm` nearer the eye what `power` does here: F / (1 - x F), x in metres. Further
/// from the eye is minus. Precondition: the focal point does not lie there.
inline double moved_nearer(double power, double mm) {
    return power / (1 - mm / 1000 * power);
}

/// Each principal meridian by itself; the axis stays.
inline optics::Power moved_nearer(const optics::Power& lens, double mm) {
    const double along = moved_nearer(lens.sphere.value(), mm);
    const double across = moved_nearer((lens.sphere + lens.cylinder).value(), mm);
    return {optics::Dioptre::nearest(along), optics::Dioptre::nearest(across - along), lens.axis};
}

/// What a surface of `power` at index `from` has at index `to`. It belongs to lens clocks (from memory).
inline double at_another_index(double power, double from, double to) {
    return power * (to - 1) / (from - 1);
}

}  // namespace pairmark::tests
