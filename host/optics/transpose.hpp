// Writing one lens in its two cylinder forms (transposition, ISO 13666), and the axis by ISO 8429.
#pragma once

#include "host/optics/power.hpp"

namespace pairmark::optics {

/// The same meridian as an axis above 0 and up to 180 degrees: horizontal is 180, never 0 (trade convention;
/// ISO 8429 allows 0). Any finite angle is taken; quarter turns lose nothing.
double turned_into_range(double degrees);

/// The same lens with a cylinder of 0 or below, unrounded. The axis lies in (0, 180]; without a cylinder it
/// is 0. An axis of 0 that comes with a cylinder means 180. Exact, except that adding 90 to an axis of many
/// decimals may lose its last bit.
Power to_minus_cylinder(const Power& power);

/// The same lens with a cylinder of 0 or above; otherwise as to_minus_cylinder.
Power to_plus_cylinder(const Power& power);

/// True if neither meridian has any power.
bool is_without_power(const Power& power);

}  // namespace pairmark::optics
