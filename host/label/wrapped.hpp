// Text in lines of a given width.
#pragma once

#include <string>
#include <vector>

#include "host/label/drawing.hpp"

namespace pairmark::label {

/// `text` in lines no wider than `width_mm`, broken at blanks (not between a number and its
/// unit), and inside a word only where the word alone is
/// wider than a line. Nothing but blanks at breaks is left out; at least one line. Precondition: UTF-8.
std::vector<std::string> wrapped(const std::string& text, double size_pt, double width_mm,
                                 const Measure& measure);

}  // namespace pairmark::label
