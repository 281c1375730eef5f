// How the spectacles lie on the lens meter, small, for the sheet of criteria: the right position of
// docs/bench-position.svg, which shows the wrong ones too.
#pragma once

#include "host/label/drawing.hpp"
#include "host/label/pages.hpp"

namespace pairmark::label {

inline constexpr double position_width_mm = 92;
inline constexpr double position_height_mm = 76;

/// Puts the drawing with its words onto the page.
void put_position(Page& page, double x_mm, double y_mm, const Measure& measure);

}  // namespace pairmark::label
