// Many labels on A4 pages, for a charity that has an office printer and bought sheets of labels.
#pragma once

#include <span>
#include <string>

#include "host/record/label.hpp"

namespace pairmark::label {

/// A sheet's cells, in millimetres from the top left corner of an A4 page (210 x 297, ISO 216).
struct SheetGrid {
    int columns = 3;
    int rows = 7;
    double left_mm = 7;  // of the first cell
    double top_mm = 8.5;
    double pitch_x_mm = 66;  // from one cell to the next
    double pitch_y_mm = 40;
};

/// Throws LabelRefused unless every cell lies on the page and holds a label of that size.
void check_grid(const SheetGrid& grid, const record::LabelPaper& paper);

/// How many pages these labels need.
int pages_of(std::size_t labels, const record::LabelPaper& paper, const SheetGrid& grid, int skip_cells);

/// The labels in order, a cell each, from the cell after `skip_cells` (0 to one less than a page has) on; a
/// pair's label for the spectacles follows in the next cell where the paper has such labels. Same bytes for
/// the same input. Throws LabelRefused as render_label does, and for a grid that holds no such label.
std::string render_sheet(std::span<const record::LabelFacts> labels, const record::LabelPaper& paper,
                         const SheetGrid& grid, int skip_cells);

}  // namespace pairmark::label
