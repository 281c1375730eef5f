// Lenses laid on each other, whatever their axes.
#pragma once

#include "host/optics/power.hpp"

namespace pairmark::optics {

/// The one thin lens that does what `a` and `b` do in contact, in minus cylinder. Sphere and cylinder to the
/// nearest millionth: exact where the axes are the same or at right angles, or where a lens has no cylinder;
/// elsewhere a root decides them. Axis as from_vector gives it. The thickness of the lenses and the distance
/// between them are left out, as in the trade's rules for crossed cylinders.
Power sum_of(const Power& a, const Power& b);

/// The lens that has to be laid on `b` to make it `a`; otherwise as sum_of. It is the error of `a` where `b`
/// was ordered.
Power difference_of(const Power& a, const Power& b);

}  // namespace pairmark::optics
