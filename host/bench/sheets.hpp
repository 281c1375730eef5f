// Which labels are on which sheet of an office printer. Pure.
//
// A sheet is one A4 page and two files: its list (sheet-0001.json), written first, and its document
// (sheet-0001.pdf), which follows from the list and the labels' facts alone.
//
// Trust: a list is read back from a disk that others may write to. Invariants:
//   L1  a list with a missing, unknown, mistyped or out-of-range member is refused whole;
//   L2  writing and reading again gives an equal list.
#pragma once

#include <string>
#include <vector>

#include "host/label/sheet.hpp"
#include "host/record/label.hpp"
#include "host/store/rows.hpp"

namespace pairmark::bench {

struct SheetList {
    int sheet = 1;  // 1 to 999,999
    record::LabelPaper paper;
    label::SheetGrid grid;
    int skip_cells = 0;
    std::vector<std::string> numbers;  // in the order of the cells
};

/// "sheet-0001", without the ending.
std::string sheet_name(int sheet);

std::string text_of(const SheetList& list);
/// Throws record::BadRecord with the place of the mistake.
SheetList sheet_list_from(const std::string& text);

/// As many labels beside and below each other as an A4 page holds with 5 mm around, in the middle of the
/// page. `columns` and `rows`, if not 0, are taken instead.
label::SheetGrid grid_for(const record::LabelPaper& paper, int columns = 0, int rows = 0);

/// How many pairs' labels one page holds after `skip_cells`.
int labels_a_page(const record::LabelPaper& paper, const label::SheetGrid& grid, int skip_cells);

/// Lists for all labels that are valid and on no list yet, a page each, in the order in which their numbers
/// were given; the first begins after `like.skip_cells`. Paper and grid are those of `like`. Precondition:
/// labels_a_page() of it is not 0.
std::vector<SheetList> next_sheets(const std::vector<store::StoredLabel>& labels,
                                   const std::vector<SheetList>& so_far, const SheetList& like);

/// Labels of the list that became void: what is to be torn up.
std::vector<std::string> void_on(const SheetList& list, const std::vector<store::StoredLabel>& labels);

/// Facts of the list's labels that are valid, in its order. Throws record::BadRecord for a number that these
/// labels do not hold.
std::vector<record::LabelFacts> facts_on(const SheetList& list,
                                         const std::vector<store::StoredLabel>& labels);

}  // namespace pairmark::bench
