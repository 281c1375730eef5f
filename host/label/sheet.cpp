#include "host/label/sheet.hpp"

#include <algorithm>
#include <string>

#include "host/label/draw.hpp"
#include "host/label/facts.hpp"
#include "host/label/refused.hpp"

namespace pairmark::label {
namespace {

constexpr double page_width = 210;
constexpr double page_height = 297;
constexpr double slack = 0.01;

bool is_within(double value, double least, double most) {
    return value >= least && value <= most;
}

int cells_a_label(const record::LabelPaper& paper) {
    return paper.for_spectacles ? 2 : 1;
}

}  // namespace

void check_grid(const SheetGrid& grid, const record::LabelPaper& paper) {
    const auto refuse = [](const std::string& happened, const std::string& next_step) {
        throw LabelRefused("sheet", happened, next_step);
    };
    if (!is_within(grid.columns, 1, 5) || !is_within(grid.rows, 1, 14))
        refuse("it has not 1 to 5 columns and 1 to 14 rows", "count the labels of a sheet again");
    double width = paper.size.width_mm;
    double height = paper.size.height_mm;
    if (paper.for_spectacles) {
        width = std::max(width, paper.for_spectacles->width_mm);
        height = std::max(height, paper.for_spectacles->height_mm);
    }
    const bool apart = (grid.columns == 1 || grid.pitch_x_mm + slack >= width) &&
                       (grid.rows == 1 || grid.pitch_y_mm + slack >= height);
    if (!apart)
        refuse("its labels would overlap", "choose a smaller label, or measure the sheet's steps again");
    const double right = grid.left_mm + (grid.columns - 1) * grid.pitch_x_mm + width;
    const double bottom = grid.top_mm + (grid.rows - 1) * grid.pitch_y_mm + height;
    if (!(grid.left_mm >= 0 && grid.top_mm >= 0 && right <= page_width + slack &&
          bottom <= page_height + slack))
        refuse("it does not lie on an A4 page (210 x 297 mm)",
               "measure the sheet again from its top left corner");
}

int pages_of(std::size_t labels, const record::LabelPaper& paper, const SheetGrid& grid, int skip_cells) {
    const std::size_t a_page = static_cast<std::size_t>(grid.columns) * static_cast<std::size_t>(grid.rows);
    const std::size_t cells =
        labels * static_cast<std::size_t>(cells_a_label(paper)) + static_cast<std::size_t>(skip_cells);
    return static_cast<int>((cells + a_page - 1) / a_page);
}

std::string render_sheet(std::span<const record::LabelFacts> labels, const record::LabelPaper& paper,
                         const SheetGrid& grid, int skip_cells) {
    check_grid(grid, paper);
    const int a_page = grid.columns * grid.rows;
    if (skip_cells < 0 || skip_cells >= a_page)
        throw LabelRefused("sheet",
                           "it has " + std::to_string(a_page) + " cells; " + std::to_string(skip_cells) +
                               " cannot be left out",
                           "count the empty cells again");
    if (labels.empty()) throw LabelRefused("sheet", "there is no label for it", "measure a pair first");
    for (const record::LabelFacts& facts : labels)
        check_facts(facts);
    const Layout layout = layout_for(paper.size, paper.dots_per_inch);
    return make_document([&](Document& document) {
        const Measure measure = measure_with(document);
        document.set_title("Labels " + labels.front().number + " to " + labels.back().number);
        int cell = skip_cells;
        document.begin_page(page_width, page_height);
        const auto put = [&](const Drawing& drawing) {
            if (cell == a_page) {
                document.begin_page(page_width, page_height);
                cell = 0;
            }
            document.set_origin(grid.left_mm + (cell % grid.columns) * grid.pitch_x_mm,
                                grid.top_mm + (cell / grid.columns) * grid.pitch_y_mm);
            draw(drawing, document);
            ++cell;
        };
        for (const record::LabelFacts& facts : labels) {
            put(compose_label(facts, layout, measure));
            if (paper.for_spectacles) put(compose_spectacles_label(facts, *paper.for_spectacles, measure));
        }
    });
}

}  // namespace pairmark::label
