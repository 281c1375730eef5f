#include "host/label/criteria_blocks.hpp"

#include <algorithm>

#include "host/label/criteria_words.hpp"
#include "host/label/mark_sketch.hpp"
#include "host/label/position_sketch.hpp"
#include "host/label/wrapped.hpp"

namespace pairmark::label {
namespace {

using record::Criterion;
using record::Decision;

constexpr double mm_a_point = 25.4 / 72;
constexpr double line_pitch = 1.22;     // of the letters' size
constexpr double above_baseline = 1.0;  // from a line's top
constexpr double quiet_grey = 0.25;     // of what stands beside the sentence that counts

// A rule's row: its sentence, its condition, its tray.
constexpr double gap = 3;
constexpr double say_width = 80;
constexpr double tray_width = 27;
constexpr double when_x = sheet_margin_mm + say_width + gap;
constexpr double when_width = sheet_width_mm - say_width - tray_width - 2 * gap;
constexpr double tray_x = when_x + when_width + gap;
constexpr double row_space = 1.3;

constexpr double caption_pt = 9;
constexpr double caption_pitch = caption_pt * mm_a_point * line_pitch;
constexpr double least_step_mm = 16;
constexpr double sketch_scale = 0.88;  // leaves them room beside each other
constexpr double cell_gap = 4;
constexpr double tick_width = 3.6;

std::string with_blanks(std::string_view name) {
    std::string text(name);
    std::replace(text.begin(), text.end(), '_', ' ');
    return text;
}

/// 2.6 mm wide; its lowest point lies 2 mm below `y`.
Picture tick(double x, double y) {
    return {{placed(path_of("M 0 1.1 L 0.9 2 L 2.6 -0.6"), {x, y}), {std::nullopt, 0.6, 0}}};
}

}  // namespace

double CriteriaBlocks::pitch() const {
    return size_pt_ * mm_a_point * line_pitch;
}

void CriteriaBlocks::write(Page& page, const std::vector<std::string>& lines, double x_mm, double top_mm,
                           double grey) const {
    double baseline = top_mm + size_pt_ * mm_a_point * above_baseline;
    for (const std::string& line : lines) {
        page.texts.push_back({line, size_pt_, x_mm, baseline, grey});
        baseline += pitch();
    }
}

Block CriteriaBlocks::space(double height_mm) const {
    return {height_mm};
}

Block CriteriaBlocks::heading(const std::string& text, const std::string& at_right) const {
    const double size = size_pt_ + 3;
    const double height = size * mm_a_point * 1.5;
    return {height + 1.5, true, [=, this](Page& page, double top) {
                page.shapes.push_back({box(sheet_margin_mm, top, sheet_width_mm, height), {0.0, 0, 0}});
                const double baseline = top + size * mm_a_point * 1.1;
                page.texts.push_back({text, size, sheet_margin_mm + 2, baseline, 1});
                if (!at_right.empty()) page.texts.push_back({at_right, size_pt_, tray_x, baseline, 1});
            }};
}

Block CriteriaBlocks::sentence(const std::string& text, double indent_mm, const std::string& before) const {
    const auto lines = wrapped(text, size_pt_, sheet_width_mm - indent_mm, measure_);
    return {static_cast<double>(lines.size()) * pitch() + 0.4, false, [=, this](Page& page, double top) {
                if (!before.empty()) write(page, {before}, sheet_margin_mm, top);
                write(page, lines, sheet_margin_mm + indent_mm, top);
            }};
}

void CriteriaBlocks::title(std::vector<Block>& blocks) const {
    double size = 24;
    while (size > 15 && wrapped(criteria_.programme, size, sheet_width_mm, measure_).size() > 1)
        size -= 1;
    const auto lines = wrapped(criteria_.programme, size, sheet_width_mm, measure_);
    const double line = size * mm_a_point * line_pitch;
    constexpr double below_pt = 13;
    const double height = static_cast<double>(lines.size()) * line + below_pt * mm_a_point * 1.6;
    blocks.push_back({height + 2, true, [=](Page& page, double top) {
                          double baseline = top + size * mm_a_point * 0.85;
                          for (const std::string& one : lines) {
                              page.texts.push_back({one, size, sheet_margin_mm, baseline});
                              baseline += line;
                          }
                          page.texts.push_back(
                              {"Which donated spectacles are kept, turned down or asked about", below_pt,
                               sheet_margin_mm, baseline - line + below_pt * mm_a_point * 1.5 + 0.8});
                      }});
}

void CriteriaBlocks::bench(std::vector<Block>& blocks) const {
    constexpr double column_gap = 5;
    constexpr double number_width = 6;
    const double text_width = sheet_width_mm - position_width_mm - column_gap - number_width;
    struct Step {
        std::vector<std::string> lines;
        double top;
    };
    std::vector<Step> steps;
    double height = 0;
    for (const std::string& step : bench_steps(criteria_)) {
        steps.push_back({wrapped(step, size_pt_, text_width, measure_), height});
        height += static_cast<double>(steps.back().lines.size()) * pitch() + 1;
    }
    blocks.push_back(heading("One pair on its way across the bench", ""));
    blocks.push_back({std::max(height, position_height_mm) + 3, false, [=, this](Page& page, double top) {
                          for (std::size_t i = 0; i < steps.size(); ++i) {
                              write(page, {std::to_string(i + 1)}, sheet_margin_mm, top + steps[i].top);
                              write(page, steps[i].lines, sheet_margin_mm + number_width, top + steps[i].top);
                          }
                          put_position(page, sheet_margin_mm + sheet_width_mm - position_width_mm, top,
                                       measure_);
                      }});
}

Block CriteriaBlocks::row(const Criterion& rule) const {
    const auto say = wrapped(rule.say, size_pt_, say_width, measure_);
    const auto when = wrapped(rule.when, size_pt_, when_width, measure_);
    const auto tray = wrapped(rule.tray, size_pt_, tray_width, measure_);
    const std::size_t lines = std::max({say.size(), when.size(), tray.size()});
    const double height = static_cast<double>(lines) * pitch() + row_space;
    return {height, false, [=, this](Page& page, double top) {
                write(page, say, sheet_margin_mm, top);
                write(page, when, when_x, top, quiet_grey);
                write(page, tray, tray_x, top);
                const double below = top + height - 0.5;
                page.shapes.push_back({line(sheet_margin_mm, below, sheet_margin_mm + sheet_width_mm, below),
                                       {std::nullopt, 0.15, 0.5}});
            }};
}

void CriteriaBlocks::rules(std::vector<Block>& blocks, Decision verdict) const {
    const std::string what = verdict == Decision::discard ? "Turned down"
                             : verdict == Decision::ask   ? "Asked about"
                                                          : "Kept";
    blocks.push_back(heading(what, "Tray"));
    const auto again = std::make_shared<const Block>(heading(what + ", continued", "Tray"));
    const auto put = [&](const std::vector<Criterion>& rules) {
        for (const Criterion& rule : rules) {
            if (rule.verdict != verdict) continue;
            const bool is_first = blocks.back().stays_with_next;
            blocks.push_back(row(rule));
            if (!is_first) blocks.back().again = again;
        }
    };
    // What always holds stands where its verdict begins or ends.
    if (verdict == Decision::discard) put(built_in_criteria(criteria_));
    put(criteria_.rules);
    if (verdict == Decision::keep) put(built_in_criteria(criteria_));
    if (verdict == Decision::ask) blocks.push_back(sentence(also_asked(criteria_), 0, ""));
    blocks.push_back(space(2));
}

CriteriaBlocks::Cell CriteriaBlocks::cell_of(const record::MarkWord& mark) const {
    double step = least_step_mm;
    for (const std::string_view value : mark.values)
        step = std::max(
            step, measure_(std::string(value), caption_pt) + 1.5 + (value == mark.in_order ? tick_width : 0));
    return {&mark, step, step * static_cast<double>(mark.values.size())};
}

double CriteriaBlocks::hint_lines(const Cell& cell) const {
    const std::string hint = hint_of(*cell.mark);
    return hint.empty() ? 0 : static_cast<double>(wrapped(hint, caption_pt, cell.width_mm, measure_).size());
}

void CriteriaBlocks::put_cell(Page& page, const Cell& cell, double x_mm, double top_mm) const {
    const record::MarkWord& mark = *cell.mark;
    write(page, {with_blanks(mark.name)}, x_mm, top_mm);
    const double drawings = top_mm + pitch() + 0.4;
    double baseline = drawings + sketch_height_mm + caption_pt * mm_a_point;
    double at = x_mm;
    for (const std::string_view value : mark.values) {
        add(page.shapes,
            placed(mark_sketch(mark.name, value),
                   {at + (cell.step_mm - sketch_scale * sketch_width_mm) / 2,
                    drawings + (1 - sketch_scale) * sketch_height_mm / 2, sketch_scale, sketch_scale}));
        const std::string caption(value);
        const double before = value == mark.in_order ? tick_width : 0;
        const double from = at + (cell.step_mm - measure_(caption, caption_pt) - before) / 2;
        page.texts.push_back({caption, caption_pt, from + before, baseline});
        if (value == mark.in_order) add(page.shapes, tick(from, baseline - 2));
        at += cell.step_mm;
    }
    const std::string hint = hint_of(mark);
    if (hint.empty()) return;
    for (const std::string& text : wrapped(hint, caption_pt, cell.width_mm, measure_)) {
        baseline += caption_pitch;
        page.texts.push_back({text, caption_pt, x_mm, baseline, quiet_grey});
    }
}

Block CriteriaBlocks::sketches(const std::vector<Cell>& beside) const {
    double hints = 0;
    for (const Cell& cell : beside)
        hints = std::max(hints, hint_lines(cell));
    return {pitch() + sketch_height_mm + caption_pitch * (1 + hints) + 2, false,
            [=, this](Page& page, double top) {
                double x = sheet_margin_mm;
                for (const Cell& cell : beside) {
                    put_cell(page, cell, x, top);
                    x += cell.width_mm + cell_gap;
                }
            }};
}

/// Two marks without drawings beside each other.
Block CriteriaBlocks::said_marks(const record::MarkWord& first, const record::MarkWord* second) const {
    constexpr double indent = 4;
    constexpr double column = (sheet_width_mm - cell_gap) / 2;
    const auto lines_of = [&](const record::MarkWord* mark) {
        return mark == nullptr ? std::vector<std::string>()
                               : wrapped(mark_sentence(*mark), size_pt_, column - indent, measure_);
    };
    const auto left = lines_of(&first);
    const auto right = lines_of(second);
    const bool left_ticked = !first.in_order.empty();
    const bool right_ticked = second != nullptr && !second->in_order.empty();
    return {static_cast<double>(std::max(left.size(), right.size())) * pitch() + 0.4, false,
            [=, this](Page& page, double top) {
                const auto put = [&](const std::vector<std::string>& lines, double x, bool ticked) {
                    write(page, lines, x + indent, top);
                    if (ticked) add(page.shapes, tick(x, top + size_pt_ * mm_a_point - 2));
                };
                put(left, sheet_margin_mm, left_ticked);
                put(right, sheet_margin_mm + column + cell_gap, right_ticked);
            }};
}

void CriteriaBlocks::looked_over(std::vector<Block>& blocks) const {
    if (criteria_.marks.empty()) return;
    std::vector<Cell> drawn;
    std::vector<const record::MarkWord*> said;
    for (const record::MarkWord& mark : record::mark_vocabulary()) {
        if (std::find(criteria_.marks.begin(), criteria_.marks.end(), mark.name) == criteria_.marks.end())
            continue;
        if (has_sketch(mark.name))
            drawn.push_back(cell_of(mark));
        else
            said.push_back(&mark);
    }
    blocks.push_back(heading("Looked over, all in order", ""));
    blocks.push_back(sentence(looked_over_intro(criteria_), 0, ""));
    blocks.back().stays_with_next = true;
    blocks.push_back({1.2, true});
    std::vector<Cell> beside;
    double width = 0;
    for (const Cell& cell : drawn) {
        if (!beside.empty() && width + cell.width_mm > sheet_width_mm) {
            blocks.push_back(sketches(beside));
            beside.clear();
            width = 0;
        }
        beside.push_back(cell);
        width += cell.width_mm + cell_gap;
    }
    if (!beside.empty()) blocks.push_back(sketches(beside));
    for (std::size_t i = 0; i < said.size(); i += 2)
        blocks.push_back(said_marks(*said[i], i + 1 < said.size() ? said[i + 1] : nullptr));
    blocks.push_back(space(2));
}

std::vector<Block> CriteriaBlocks::all() const {
    std::vector<Block> blocks;
    title(blocks);
    bench(blocks);
    for (const Decision verdict : {Decision::discard, Decision::ask, Decision::keep})
        rules(blocks, verdict);
    looked_over(blocks);
    blocks.push_back(heading("Cautions", ""));
    for (const std::string& caution : cautions())
        blocks.push_back(sentence(caution, 4, "\u2013"));
    return blocks;
}

}  // namespace pairmark::label
