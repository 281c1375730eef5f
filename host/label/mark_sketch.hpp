// Small drawings of what people look for: one for each value of a mark that can be drawn. Our own.
#pragma once

#include <string_view>

#include "host/label/path.hpp"

namespace pairmark::label {

inline constexpr double sketch_width_mm = 15;
inline constexpr double sketch_height_mm = 10;

/// True for a mark whose values are drawn: rim, tint, scratches, pads, lens_type, child, broken.
bool has_sketch(std::string_view mark);

/// Within sketch_width_mm and sketch_height_mm from the origin. Empty where there is none.
Picture mark_sketch(std::string_view mark, std::string_view value);

}  // namespace pairmark::label
