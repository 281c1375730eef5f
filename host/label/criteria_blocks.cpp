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
constexpr double line_pitch = 1.27;     // of the letters' size
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

constexpr std::size_t sketches_beside = 3;
constexpr double cell_width = sheet_width_mm / sketches_beside;
constexpr double caption_pt = 9;

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
    return {height_mm, false, {}};
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
    blocks.push_back(heading(verdict == Decision::discard ? "Turned down"
                             : verdict == Decision::ask   ? "Asked about"
                                                          : "Kept",
                             "Tray"));
    const auto put = [&](const std::vector<Criterion>& rules) {
        for (const Criterion& rule : rules)
            if (rule.verdict == verdict) blocks.push_back(row(rule));
    };
    put(criteria_.rules);
    put(built_in_criteria(criteria_));
    blocks.push_back(space(2.5));
}

Block CriteriaBlocks::sketches(const std::vector<const record::MarkWord*>& beside) const {
    const double title_height = pitch();
    const double caption_pitch = caption_pt * mm_a_point * line_pitch;
    std::vector<std::vector<std::string>> hints;
    std::size_t hint_lines = 0;
    for (const record::MarkWord* mark : beside) {
        const std::string hint = hint_of(*mark);
        hints.push_back(hint.empty() ? std::vector<std::string>()
                                     : wrapped(hint, caption_pt, cell_width - 4, measure_));
        hint_lines = std::max(hint_lines, hints.back().size());
    }
    const double hints_height = static_cast<double>(hint_lines) * caption_pitch;
    const double height = title_height + sketch_height_mm + caption_pitch + hints_height + 2.5;
    return {height, false, [=, this](Page& page, double top) {
                for (std::size_t i = 0; i < beside.size(); ++i) {
                    const record::MarkWord& mark = *beside[i];
                    const double x = sheet_margin_mm + static_cast<double>(i) * cell_width;
                    write(page, {with_blanks(mark.name)}, x, top);
                    const double step =
                        (cell_width - 2) / std::max<double>(3, static_cast<double>(mark.values.size()));
                    const double captions = top + title_height + sketch_height_mm + caption_pt * mm_a_point;
                    for (std::size_t k = 0; k < mark.values.size(); ++k) {
                        const std::string value(mark.values[k]);
                        const double at = x + static_cast<double>(k) * step;
                        add(page.shapes,
                            placed(mark_sketch(mark.name, value),
                                   {at + (step - sketch_width_mm) / 2, top + title_height + 0.4}));
                        const bool ticked = value == mark.in_order;
                        const double tick_width = ticked ? 3.2 : 0;
                        const double width = measure_(value, caption_pt) + tick_width;
                        const double from = at + (step - width) / 2;
                        page.texts.push_back({value, caption_pt, from + tick_width, captions});
                        if (ticked) add(page.shapes, tick(from, captions - 2));
                    }
                    double baseline = captions + caption_pitch;
                    for (const std::string& line : hints[i]) {
                        page.texts.push_back({line, caption_pt, x, baseline, quiet_grey});
                        baseline += caption_pitch;
                    }
                }
            }};
}

void CriteriaBlocks::looked_over(std::vector<Block>& blocks) const {
    if (criteria_.marks.empty()) return;
    std::vector<const record::MarkWord*> drawn;
    std::vector<const record::MarkWord*> said;
    for (const record::MarkWord& mark : record::mark_vocabulary()) {
        if (std::find(criteria_.marks.begin(), criteria_.marks.end(), mark.name) == criteria_.marks.end())
            continue;
        (has_sketch(mark.name) ? drawn : said).push_back(&mark);
    }
    blocks.push_back(heading("Looked over, all in order", ""));
    blocks.push_back(sentence(looked_over_intro(criteria_), 0, ""));
    blocks.back().stays_with_next = true;
    blocks.push_back(space(1));
    for (std::size_t i = 0; i < drawn.size(); i += sketches_beside)
        blocks.push_back(sketches(
            {drawn.begin() + static_cast<std::ptrdiff_t>(i),
             drawn.begin() + static_cast<std::ptrdiff_t>(std::min(i + sketches_beside, drawn.size()))}));
    for (const record::MarkWord* mark : said) {
        Block block = sentence(mark_sentence(*mark), 4, "");
        if (!mark->in_order.empty()) {
            const auto put = block.put;
            block.put = [=, this](Page& page, double top) {
                put(page, top);
                add(page.shapes, tick(sheet_margin_mm, top + size_pt_ * mm_a_point - 2));
            };
        }
        blocks.push_back(block);
    }
    blocks.push_back(space(2.5));
}

std::vector<Block> CriteriaBlocks::all() const {
    std::vector<Block> blocks;
    title(blocks);
    bench(blocks);
    for (const Decision verdict : {Decision::discard, Decision::ask, Decision::keep})
        rules(blocks, verdict);
    looked_over(blocks);
    blocks.push_back(heading("Mind", ""));
    for (const std::string& caution : cautions())
        blocks.push_back(sentence(caution, 4, "\u2013"));
    return blocks;
}

}  // namespace pairmark::label
