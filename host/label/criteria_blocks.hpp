// The sheet of criteria in blocks, for one size of letters.
#pragma once

#include <string>
#include <vector>

#include "host/label/drawing.hpp"
#include "host/label/pages.hpp"
#include "host/record/criteria.hpp"
#include "host/record/mark.hpp"

namespace pairmark::label {

inline constexpr double sheet_margin_mm = 12;
inline constexpr double sheet_width_mm = 210 - 2 * sheet_margin_mm;  // A4, ISO 216

class CriteriaBlocks {
  public:
    /// Both must outlive the blocks that are made.
    CriteriaBlocks(const record::Criteria& criteria, const Measure& measure, double size_pt)
        : criteria_(criteria), measure_(measure), size_pt_(size_pt) {}

    /// Title, bench, rules by verdict, looking over, cautions, in the order in which they stand on the sheet.
    std::vector<Block> all() const;
    /// A rule's row.
    Block row(const record::Criterion& rule) const;

  private:
    double pitch() const;  // from one baseline to the next, mm
    Block heading(const std::string& text, const std::string& at_right) const;
    Block sentence(const std::string& text, double indent_mm, const std::string& before) const;
    Block space(double height_mm) const;
    void title(std::vector<Block>& blocks) const;
    void bench(std::vector<Block>& blocks) const;
    void rules(std::vector<Block>& blocks, record::Decision verdict) const;
    void looked_over(std::vector<Block>& blocks) const;
    struct Cell {
        const record::MarkWord* mark;
        double step_mm;  // from one drawing to the next
        double width_mm;
    };
    Cell cell_of(const record::MarkWord& mark) const;
    Block sketches(const std::vector<Cell>& beside_each_other) const;
    void put_cell(Page& page, const Cell& cell, double x_mm, double top_mm) const;
    double hint_lines(const Cell& cell) const;
    Block said_marks(const record::MarkWord& first, const record::MarkWord* second) const;
    void write(Page& page, const std::vector<std::string>& lines, double x_mm, double top_mm,
               double grey = 0) const;

    const record::Criteria& criteria_;
    const Measure& measure_;
    double size_pt_;
};

}  // namespace pairmark::label
