// FROM MEMORY: the tolerance tables of ISO 21987:2017, mounted spectacle lenses. No copy of the standard was
// read; two cells are supported by other standards (GB 10810-1996: plano and 10.00 DS). Nothing that decides
// may rest on these figures: no other file of the host includes this header, and a test sees to that
// (tests/outside/optics_tolerances_from_memory.cpp). They stand here to be confirmed, and then to be used.
#pragma once

#include <optional>

#include "host/optics/power.hpp"

namespace pairmark::optics::from_memory {

/// Table 1, tolerance A, in D, either way, on the power of each principal meridian; `strongest_meridian` is
/// the ordered meridian of higher absolute power, of either sign.
Dioptre meridian_tolerance(Dioptre strongest_meridian);

/// Table 1, tolerance B, in D, either way, on the cylinder, which is of either sign.
Dioptre cylinder_tolerance(Dioptre strongest_meridian, Dioptre cylinder);

/// In degrees, either way; `cylinder` is of either sign. None up to and with 0.125 D.
std::optional<double> axis_tolerance_degrees(Dioptre cylinder);

}  // namespace pairmark::optics::from_memory
