#include "host/label/render.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "host/label/facts.hpp"
#include "host/label/page.hpp"
#include "host/label/qr.hpp"
#include "host/label/qr_text.hpp"
#include "host/label/words.hpp"

namespace pairmark::label {
namespace {

using optics::Dioptre;

constexpr const char* caution = "Only after an eye examination.";
constexpr const char* shorten = "write it shorter";
constexpr const char* wider_label = "use a larger label";

struct PlacedText {
    std::string text;
    double size_pt;
    double x_mm;
    double baseline_mm;
    bool reversed = false;
};

// The largest size of the row, in half points below its largest, at which the text is no wider than `room`.
double fitting_size(Page& page, const std::string& text, const Row& row, double room_mm, const char* where,
                    const char* next_step) {
    for (double size = row.largest_pt; size > row.least_pt; size -= 0.5)
        if (page.width_mm(text, size) <= room_mm) return size;
    if (page.width_mm(text, row.least_pt) <= room_mm) return row.least_pt;
    throw LabelRefused(where, "'" + text + "' does not fit on the label", next_step);
}

std::string millimetres(std::optional<double> distance) {
    if (!distance) return "CD \u2013";  // an en dash: a minus sign would look like the start of a number
    const auto tenths = std::lround(*distance * 10);
    return "CD " + std::to_string(tenths / 10) + '.' + std::to_string(tenths % 10) + " mm";
}

std::string for_both(const char* what, Dioptre right, Dioptre left) {
    return std::string(what) + " R " + text_of(right) + " L " + text_of(left);
}

// The label as a list of placed texts, top to bottom, the order in which the paper leaves the printer. The QR
// code and the number come last: a label torn off by a fault lacks them, and is seen to be broken.
class Composer {
  public:
    Composer(Page& page, const record::LabelFacts& facts, const Layout& layout, double column_mm)
        : page_(page), facts_(facts), layout_(layout), column_mm_(column_mm) {}

    std::vector<PlacedText> compose() {
        heading();
        powers();
        details();
        add(caution, layout_.caution, "caution", wider_label);
        marks();
        add(facts_.number, layout_.number, "number", "use a shorter bench code");
        return std::move(placed_);
    }

  private:
    void add(const std::string& text, const Row& row, const char* where, const char* next_step) {
        const double size = fitting_size(page_, text, row, column_mm_, where, next_step);
        placed_.push_back({text, size, layout_.margin_mm, row.baseline_mm});
    }

    void heading() {
        constexpr double gap_mm = 3;
        const double width = layout_.width_mm - 2 * layout_.margin_mm;
        // The programme's name gives way first: the place is what the volunteer looks for.
        const double least_programme = page_.width_mm(facts_.programme, layout_.programme.least_pt);
        const double for_place = width - (facts_.programme.empty() ? 0 : gap_mm + least_programme);
        const double size = fitting_size(page_, facts_.place, layout_.heading, for_place, "place", shorten);
        placed_.push_back({facts_.place, size, layout_.margin_mm, layout_.heading.baseline_mm});
        if (facts_.programme.empty()) return;
        const double room = width - gap_mm - page_.width_mm(facts_.place, size);
        const double small =
            fitting_size(page_, facts_.programme, layout_.programme, room, "programme name", shorten);
        const double x = layout_.margin_mm + width - page_.width_mm(facts_.programme, small);
        placed_.push_back({facts_.programme, small, x, layout_.programme.baseline_mm});
    }

    void powers() {
        const double width = layout_.width_mm - 2 * layout_.margin_mm;
        const std::string right = line_of(record::Eye::right, facts_.right);
        const std::string left = line_of(record::Eye::left, facts_.left);
        const double size =
            std::min(fitting_size(page_, right, layout_.right_power, width, "right lens", wider_label),
                     fitting_size(page_, left, layout_.left_power, width, "left lens", wider_label));
        placed_.push_back({right, size, layout_.margin_mm, layout_.right_power.baseline_mm});
        placed_.push_back({left, size, layout_.margin_mm, layout_.left_power.baseline_mm});
    }

    void details() {
        Row row = layout_.details;
        if (facts_.right_addition && facts_.left_addition) {
            const std::string both = for_both("Add", *facts_.right_addition, *facts_.left_addition);
            const std::string with_kind = both + ' ' + facts_.addition_kind;
            if (page_.width_mm(with_kind, row.least_pt) <= column_mm_) {
                add(with_kind, row, "addition", wider_label);
            } else {
                add(both, row, "addition", wider_label);
                row.baseline_mm += layout_.details_pitch_mm;
                add(facts_.addition_kind, row, "addition", wider_label);
            }
            row.baseline_mm += layout_.details_pitch_mm;
        }
        const auto equivalent = [](double value) { return Dioptre::nearest(value); };
        add(for_both("SE", equivalent(facts_.right_equivalent), equivalent(facts_.left_equivalent)), row,
            "spherical equivalents", wider_label);
        row.baseline_mm += layout_.details_pitch_mm;
        // Distance and date share a line: measured as one, then the date goes to the right.
        const std::string distance = millimetres(facts_.centres_mm);
        const std::string line = distance + "  " + facts_.date;
        const double size =
            fitting_size(page_, line, row, column_mm_, "centre distance and date", wider_label);
        placed_.push_back({distance, size, layout_.margin_mm, row.baseline_mm});
        const double x = layout_.margin_mm + column_mm_ - page_.width_mm(facts_.date, size);
        placed_.push_back({facts_.date, size, x, row.baseline_mm});
    }

    void marks() {
        std::string text;
        if (facts_.copy > 0) text = "COPY " + std::to_string(facts_.copy);
        if (facts_.typed) text += text.empty() ? "TYPED" : " TYPED";
        if (text.empty()) return;
        add(text, layout_.marks, "marks", wider_label);
        placed_.back().reversed = true;
    }

    Page& page_;
    const record::LabelFacts& facts_;
    const Layout& layout_;
    double column_mm_;
    std::vector<PlacedText> placed_;
};

}  // namespace

namespace {

std::string draw(const record::LabelFacts& facts, const Layout& layout, const QrCode& code,
                 int unused_letters) {
    const double module_mm = layout.dots_per_module * layout.dot_mm;
    const double with_quiet_zone = (code.side + 2 * quiet_modules) * module_mm;
    Page page(layout.width_mm, layout.height_mm, unused_letters);
    page.set_title("Label " + facts.number);
    const double column = layout.width_mm - layout.margin_mm - with_quiet_zone;
    for (const PlacedText& placed : Composer(page, facts, layout, column).compose()) {
        if (placed.reversed)
            page.write_reversed(placed.text, placed.size_pt, placed.x_mm, placed.baseline_mm);
        else
            page.write(placed.text, placed.size_pt, placed.x_mm, placed.baseline_mm);
    }
    // The quiet zone may reach the label's edge, where the backing is as white as the label.
    const double inset = with_quiet_zone - quiet_modules * module_mm;
    page.fill_modules(code.dark, layout.width_mm - inset, layout.height_mm - inset, layout.dot_mm,
                      layout.dots_per_module);
    return page.bytes();
}

}  // namespace

std::string render_label(const record::LabelFacts& facts, const Layout& layout) {
    check_facts(facts);
    const QrCode code = qr_code(qr_text(facts));
    if (code.side > layout.largest_qr)
        throw LabelRefused("place", "the QR code's text is too long with it", shorten);
    constexpr int most_unused_letters = 8;
    for (int unused_letters = 0;; ++unused_letters) {
        try {
            return draw(facts, layout, code, unused_letters);
        } catch (const Page::FontSizeFault&) {
            if (unused_letters == most_unused_letters) throw;
        }
    }
}

}  // namespace pairmark::label
