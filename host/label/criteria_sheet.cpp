#include "host/label/criteria_sheet.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "host/label/criteria_blocks.hpp"
#include "host/label/draw.hpp"
#include "host/label/glyphs.hpp"
#include "host/label/wrapped.hpp"

namespace pairmark::label {
namespace {

constexpr double page_width = 210;  // A4, ISO 216
constexpr double page_height = 297;
constexpr double top = 11;
constexpr double foot_pt = 9;
constexpr double hash_pt = 6;
constexpr double mm_a_point = 25.4 / 72;
constexpr double foot_pitch = foot_pt * mm_a_point * 1.25;
constexpr double last_baseline = page_height - 9;
constexpr std::size_t most_pages = 2;
constexpr std::array<double, 7> sizes_pt{12, 11.5, 11, 10.5, 10, 9.5, 9};

void check_text(const std::string& what, const std::string& text) {
    if (const auto fault = fault_in_text(text))
        throw CriteriaRefused("the sheet cannot be made: " + what + ": " + *fault +
                              "; write it with other characters");
}

void check_texts(const record::Criteria& criteria) {
    check_text("the programme's name", criteria.programme);
    check_text("the rules' name", criteria.rules_name);
    check_text("the tray of what is kept", criteria.keep_tray);
    check_text("the tray of what is turned down", criteria.discard_tray);
    check_text("the tray of questions", criteria.ask_tray);
    if (criteria.gold_tray) check_text("the tray of gold-coloured frames", *criteria.gold_tray);
    for (const record::Criterion& rule : criteria.rules) {
        check_text("the sentence of rule \"" + rule.id + "\"", rule.say);
        check_text("the condition of rule \"" + rule.id + "\"", rule.when);
        check_text("the tray of rule \"" + rule.id + "\"", rule.tray);
    }
}

/// What stands at the foot of every page, beside its number.
std::vector<std::string> foot_lines(const record::Criteria& criteria, const Measure& measure) {
    constexpr double for_page_number = 24;
    return wrapped("Rules \"" + criteria.rules_name + "\" of " + criteria.rules_date + ", SHA-256 " +
                       criteria.rules_hash.substr(0, 12),
                   foot_pt, sheet_width_mm - for_page_number, measure);
}

void put_foot(Page& page, const std::vector<std::string>& lines, const std::string& hash,
              const std::string& page_number, const Measure& measure) {
    double baseline =
        last_baseline - hash_pt * mm_a_point * 1.4 - static_cast<double>(lines.size() - 1) * foot_pitch;
    const double rule = baseline - foot_pt * mm_a_point - 0.8;
    page.shapes.push_back(
        {line(sheet_margin_mm, rule, sheet_margin_mm + sheet_width_mm, rule), {std::nullopt, 0.3, 0}});
    page.texts.push_back(
        {page_number, foot_pt, sheet_margin_mm + sheet_width_mm - measure(page_number, foot_pt), baseline});
    for (const std::string& text : lines) {
        page.texts.push_back({text, foot_pt, sheet_margin_mm, baseline});
        baseline += foot_pitch;
    }
    page.texts.push_back({"SHA-256 " + hash, hash_pt, sheet_margin_mm, last_baseline});
}

std::string millimetres(double mm) {
    return std::to_string(std::lround(mm)) + " mm";
}

/// Says what is too long, by the least letters.
[[noreturn]] void refuse_length(const record::Criteria& criteria, const CriteriaBlocks& blocks,
                                double beyond_mm) {
    double of_rules = 0;
    double highest = 0;
    const record::Criterion* longest = nullptr;
    for (const record::Criterion& rule : criteria.rules) {
        const double height = blocks.row(rule).height_mm;
        of_rules += height;
        if (height <= highest) continue;
        highest = height;
        longest = &rule;
    }
    std::string say =
        "the sheet cannot be made: two pages do not hold it, by " + millimetres(beyond_mm) + "; ";
    say += std::to_string(criteria.rules.size()) +
           (criteria.rules.size() == 1 ? " rule takes " : " rules take ") + millimetres(of_rules);
    if (longest != nullptr) say += ", the longest of them (\"" + longest->id + "\") " + millimetres(highest);
    throw CriteriaRefused(say + "; write shorter sentences, or join rules that say the same with \"any\"");
}

std::vector<Page> composed(const record::Criteria& criteria, const Measure& measure) {
    const std::vector<std::string> foot = foot_lines(criteria, measure);
    const double bottom =
        last_baseline - hash_pt * mm_a_point * 1.4 - static_cast<double>(foot.size()) * foot_pitch - 2.5;
    double beyond = 0;
    for (const double size : sizes_pt) {
        const CriteriaBlocks blocks(criteria, measure, size);
        const std::vector<Block> all = blocks.all();
        const bool each_fits = std::all_of(
            all.begin(), all.end(), [bottom](const Block& block) { return block.height_mm <= bottom - top; });
        std::vector<Page> pages = flowed(all, top, bottom);
        if (each_fits && pages.size() <= most_pages) {
            for (std::size_t i = 0; i < pages.size(); ++i)
                put_foot(pages[i], foot, criteria.rules_hash,
                         "page " + std::to_string(i + 1) + " of " + std::to_string(pages.size()), measure);
            return pages;
        }
        beyond = 0;
        for (std::size_t i = 0; i < pages.size(); ++i)
            beyond += std::max(0.0, pages[i].used_mm - (i < most_pages ? bottom - top : 0));
    }
    refuse_length(criteria, CriteriaBlocks(criteria, measure, sizes_pt.back()), beyond);
}

}  // namespace

std::string render_criteria(const record::Criteria& criteria) {
    check_texts(criteria);
    return make_document([&](Document& document) {
        const Measure measure = measure_with(document);
        const std::vector<Page> pages = composed(criteria, measure);
        document.set_title("Criteria, rules of " + criteria.rules_date + ", SHA-256 " +
                           criteria.rules_hash.substr(0, 12));
        for (const Page& page : pages) {
            document.begin_page(page_width, page_height);
            for (const Painted& shape : page.shapes)
                document.paint(shape);
            for (const Written& text : page.texts)
                document.write(text.text, text.size_pt, text.x_mm, text.baseline_mm, text.grey);
        }
    });
}

}  // namespace pairmark::label
