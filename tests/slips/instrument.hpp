// What becomes of a capture that an instrument sends while the profile says that it counts in 0.25 D: the
// adapter's own interpreter decides.
#pragma once

#include <optional>

#include "tests/slips/spectacles.hpp"

namespace pairmark::slips {

/// The lens as the adapter reads it, or none where it refuses the capture. The power is written with two
/// decimals, further ones cut off.
std::optional<record::LensReading> heard_in_quarters(Eye eye, const Power& on_the_screen);

}  // namespace pairmark::slips
