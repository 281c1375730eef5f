#include "host/bench/sheets.hpp"

#include <algorithm>
#include <cmath>
#include <unordered_map>
#include <unordered_set>

#include "host/bench/label_settings.hpp"
#include "host/label/number.hpp"
#include "host/record/fields.hpp"
#include "host/record/json.hpp"

namespace pairmark::bench {
namespace {

using nlohmann::json;
using record::BadRecord;
using record::Fields;

constexpr int most_columns = 5;
constexpr int most_rows = 14;
constexpr double page_width = 210;  // A4, ISO 216
constexpr double page_height = 297;

record::LabelSize cell_of(const record::LabelPaper& paper) {
    record::LabelSize cell = paper.size;
    if (paper.for_spectacles) {
        cell.width_mm = std::max(cell.width_mm, paper.for_spectacles->width_mm);
        cell.height_mm = std::max(cell.height_mm, paper.for_spectacles->height_mm);
    }
    return cell;
}

record::LabelSize size_in(Fields& fields, const char* name, const SizeLimits& limits) {
    const auto size = size_from(fields.text(name), limits);
    if (!size) fields.fail(name, limits.expected());
    return *size;
}

label::SheetGrid grid_in(const json& object) {
    Fields fields(object, "grid");
    label::SheetGrid grid;
    grid.columns = static_cast<int>(fields.whole("columns", 1, most_columns));
    grid.rows = static_cast<int>(fields.whole("rows", 1, most_rows));
    grid.left_mm = fields.number("left", 0, page_width);
    grid.top_mm = fields.number("top", 0, page_height);
    grid.pitch_x_mm = fields.number("step_x", 0, page_width);
    grid.pitch_y_mm = fields.number("step_y", 0, page_height);
    fields.done();
    return grid;
}

std::vector<std::string> numbers_in(const json& list, const Fields& fields) {
    if (!list.is_array() || list.empty() || list.size() > std::size_t{most_columns} * most_rows)
        fields.fail("labels", "a list of 1 to 70 numbers");
    std::vector<std::string> numbers;
    for (const json& number : list) {
        if (!number.is_string() || !label::verify_number(number.get_ref<const std::string&>()))
            fields.fail("labels", "label numbers with their check character");
        numbers.push_back(number.get<std::string>());
    }
    return numbers;
}

using ByNumber = std::unordered_map<std::string, const store::StoredLabel*>;

ByNumber by_number(const std::vector<store::StoredLabel>& labels) {
    ByNumber found;
    for (const store::StoredLabel& label : labels)
        found.emplace(label.number, &label);
    return found;
}

}  // namespace

std::string sheet_name(int sheet) {
    const std::string digits = std::to_string(sheet);
    return "sheet-" + (digits.size() < 4 ? std::string(4 - digits.size(), '0') : "") + digits;
}

std::string text_of(const SheetList& list) {
    json out{{"sheet", list.sheet},
             {"size", text_of(list.paper.size)},
             {"dpi", list.paper.dots_per_inch},
             {"grid",
              {{"columns", list.grid.columns},
               {"rows", list.grid.rows},
               {"left", list.grid.left_mm},
               {"top", list.grid.top_mm},
               {"step_x", list.grid.pitch_x_mm},
               {"step_y", list.grid.pitch_y_mm}}},
             {"skip_cells", list.skip_cells},
             {"labels", list.numbers}};
    if (list.paper.for_spectacles) out["spectacles"] = text_of(*list.paper.for_spectacles);
    return out.dump(1) + "\n";
}

SheetList sheet_list_from(const std::string& text) {
    const json document = json::parse(text, nullptr, false);
    if (document.is_discarded()) throw BadRecord("it is not JSON");
    Fields fields(document, "");
    SheetList list;
    list.sheet = static_cast<int>(fields.whole("sheet", 1, 999'999));
    list.paper.size = size_in(fields, "size", envelope_label);
    list.paper.dots_per_inch = static_cast<int>(fields.whole("dpi", 203, 300));
    if (list.paper.dots_per_inch != 203 && list.paper.dots_per_inch != 300) fields.fail("dpi", "203 or 300");
    if (fields.optional("spectacles") != nullptr)
        list.paper.for_spectacles = size_in(fields, "spectacles", spectacles_label);
    list.grid = grid_in(fields.required("grid"));
    list.skip_cells = static_cast<int>(fields.whole("skip_cells", 0, most_columns * most_rows - 1));
    list.numbers = numbers_in(fields.required("labels"), fields);
    fields.done();
    return list;
}

label::SheetGrid grid_for(const record::LabelPaper& paper, int columns, int rows) {
    constexpr double margin = 5;
    const record::LabelSize cell = cell_of(paper);
    const auto fitting = [](double page, double label, int most) {
        return std::clamp(static_cast<int>(std::floor((page - 2 * margin) / label)), 1, most);
    };
    label::SheetGrid grid;
    grid.columns = columns > 0 ? columns : fitting(page_width, cell.width_mm, most_columns);
    grid.rows = rows > 0 ? rows : fitting(page_height, cell.height_mm, most_rows);
    grid.pitch_x_mm = cell.width_mm;
    grid.pitch_y_mm = cell.height_mm;
    grid.left_mm = std::max(0.0, (page_width - grid.columns * cell.width_mm) / 2);
    grid.top_mm = std::max(0.0, (page_height - grid.rows * cell.height_mm) / 2);
    return grid;
}

int labels_a_page(const record::LabelPaper& paper, const label::SheetGrid& grid, int skip_cells) {
    const int cells = grid.columns * grid.rows - skip_cells;
    return std::max(0, cells / (paper.for_spectacles ? 2 : 1));
}

std::vector<SheetList> next_sheets(const std::vector<store::StoredLabel>& labels,
                                   const std::vector<SheetList>& so_far, const SheetList& like) {
    std::unordered_set<std::string> listed;
    int last = 0;
    for (const SheetList& list : so_far) {
        last = std::max(last, list.sheet);
        listed.insert(list.numbers.begin(), list.numbers.end());
    }
    std::vector<SheetList> sheets;
    std::size_t room = 0;
    for (const store::StoredLabel& label : labels) {
        if (label.is_void || listed.contains(label.number)) continue;
        if (room == 0) {
            const int skip = sheets.empty() ? like.skip_cells : 0;
            sheets.push_back({++last, like.paper, like.grid, skip, {}});
            room = static_cast<std::size_t>(labels_a_page(like.paper, like.grid, skip));
        }
        sheets.back().numbers.push_back(label.number);
        --room;
    }
    return sheets;
}

std::vector<std::string> void_on(const SheetList& list, const std::vector<store::StoredLabel>& labels) {
    const ByNumber known = by_number(labels);
    std::vector<std::string> found;
    for (const std::string& number : list.numbers)
        if (const auto it = known.find(number); it != known.end() && it->second->is_void)
            found.push_back(number);
    return found;
}

std::vector<record::LabelFacts> facts_on(const SheetList& list,
                                         const std::vector<store::StoredLabel>& labels) {
    const ByNumber known = by_number(labels);
    std::vector<record::LabelFacts> facts;
    for (const std::string& number : list.numbers) {
        const auto it = known.find(number);
        if (it == known.end()) throw BadRecord("label " + number + " is on the list and not in this store");
        if (!it->second->is_void) facts.push_back(it->second->facts);
    }
    return facts;
}

}  // namespace pairmark::bench
