// Cells of a table for spreadsheets (RFC 4180).
#pragma once

#include <string>

namespace pairmark::bench {

/// A cell of words, in quotation marks where it needs them. One that a spreadsheet could take for a formula
/// has a ' before it.
std::string words_cell(const std::string& text);

}  // namespace pairmark::bench
