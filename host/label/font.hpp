// The bytes of font/label-font.ttf; the build makes them part of the binary.
#pragma once

#include <span>

namespace pairmark::label {

std::span<const unsigned char> font_bytes();

}  // namespace pairmark::label
