// A label's facts in, a PDF out.
#pragma once

#include <string>

#include "host/label/refused.hpp"
#include "host/record/label.hpp"

namespace pairmark::label {

/// The label as PDF bytes: font embedded, the same bytes for the same facts and paper. One page, and a second
/// with the small label for the spectacles where the paper has one. docs/label.md shows both. Throws
/// LabelRefused if the facts break a condition of check_facts, if the paper is none of ours, or if anything
/// does not fit at its least size: nothing is ever clipped or left out. Throws std::runtime_error if the PDF
/// library fails.
std::string render_document(const record::LabelFacts& facts, const record::LabelPaper& paper);

/// The same on the usual paper: 60 x 40 mm, 203 dpi, no label for the spectacles.
std::string render_label(const record::LabelFacts& facts);

}  // namespace pairmark::label
