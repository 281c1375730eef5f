// A label's facts in, a PDF page out.
#pragma once

#include <string>

#include "host/label/layout.hpp"
#include "host/label/refused.hpp"
#include "host/record/label.hpp"

namespace pairmark::label {

/// The label as PDF bytes: one page, font embedded, the same bytes for the same facts and layout.
/// docs/label.md shows it. Throws LabelRefused if the facts break a condition of check_facts, or if anything
/// does not fit at its least size: nothing is ever clipped or left out. Throws std::runtime_error if the PDF
/// library fails.
std::string render_label(const record::LabelFacts& facts, const Layout& layout = label_60x40());

}  // namespace pairmark::label
