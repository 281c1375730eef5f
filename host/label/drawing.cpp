#include "host/label/drawing.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "host/label/document.hpp"
#include "host/label/frame_words.hpp"
#include "host/label/qr_text.hpp"
#include "host/label/refused.hpp"
#include "host/label/words.hpp"

namespace pairmark::label {
namespace {

using optics::Dioptre;

constexpr const char* shorten = "write it shorter";
constexpr const char* wider_label = "use a larger label";

// Of a line's capitals: how far the next baseline is at least, at most, and what hangs below the line.
constexpr double least_pitch = 1.45;
constexpr double widest_pitch = 1.75;
constexpr double hanging = 0.33;

std::string millimetres(std::optional<double> distance) {
    if (!distance) return "CD \u2013";  // an en dash: a minus sign would look like the start of a number
    const auto tenths = std::lround(*distance * 10);
    return "CD " + std::to_string(tenths / 10) + '.' + std::to_string(tenths % 10) + " mm";
}

std::string for_both(const char* what, Dioptre right, Dioptre left) {
    return std::string(what) + " R " + text_of(right) + " L " + text_of(left);
}

std::string marks_of(const record::LabelFacts& facts) {
    std::string text;
    if (facts.copy > 0) text = "COPY " + std::to_string(facts.copy);
    if (facts.typed) text += text.empty() ? "TYPED" : " TYPED";
    return text;
}

/// A line of the lower part.
struct Line {
    std::string text;
    std::string at_right;  // stands at the right end of the same line
    const char* where;
    const char* next_step = wider_label;
    bool reversed = false;
};

/// Beyond what presbyopes are given (common practice, no published source): a second look is worth while, at
/// the bench and where the spectacles are handed out.
bool is_rare_addition(const record::LabelFacts& facts) {
    constexpr Dioptre usual = Dioptre::hundredths(300);
    return facts.right_addition.value_or(Dioptre()) > usual ||
           facts.left_addition.value_or(Dioptre()) > usual;
}

class Composer {
  public:
    Composer(const record::LabelFacts& facts, const Layout& layout, const Measure& measure, QrCode code,
             int dots_per_module)
        : facts_(facts), layout_(layout), measure_(measure), dots_(dots_per_module), code_(std::move(code)) {
        const double module = dots_ * layout.dot_mm;
        quiet_mm_ = quiet_modules * module;
        // The quiet zone may reach the label's edge, where the backing is as white as the label.
        const double inset = std::max(quiet_mm_, layout.margin_mm) + code_.side * module;
        code_x_mm_ = on_a_dot(layout.width_mm - inset);
        code_y_mm_ = on_a_dot(layout.height_mm - inset);
    }

    Drawing compose() {
        if (code_y_mm_ - quiet_mm_ < layout_.left_baseline_mm)
            throw LabelRefused("place", "the QR code's text is too long with it", shorten);
        heading();
        powers();
        lower_part();
        Drawing drawing{layout_.width_mm, layout_.height_mm, std::move(placed_), std::nullopt};
        drawing.code = PlacedCode{std::move(code_), code_x_mm_, code_y_mm_, dots_, layout_.dot_mm};
        return drawing;
    }

  private:
    double on_a_dot(double mm) const { return std::floor(mm / layout_.dot_mm + 1e-6) * layout_.dot_mm; }
    double width() const { return layout_.width_mm - 2 * layout_.margin_mm; }

    void heading() {
        // What stands to the right gives way first: the place is what the volunteer looks for.
        const bool at_top = layout_.marks_at_top;
        const std::string aside = at_top                  ? marks_of(facts_)
                                  : layout_.has_programme ? facts_.programme
                                                          : std::string();
        const Letters letters = at_top ? layout_.details : layout_.programme;
        constexpr double gap = 2.8;
        const double for_aside = aside.empty() ? 0 : gap + measure_(aside, letters.least_pt);
        const double size =
            fitting_size(measure_, facts_.place, layout_.heading, width() - for_aside, "place", shorten);
        place(facts_.place, size, layout_.margin_mm, layout_.heading_baseline_mm);
        if (aside.empty()) return;
        const double room = width() - gap - measure_(facts_.place, size);
        const double small =
            fitting_size(measure_, aside, letters, room, at_top ? "marks" : "programme name", shorten);
        const double box = at_top ? 2 * Document::box_pad_mm(small) : 0;
        place(aside, small, layout_.margin_mm + width() - measure_(aside, small) - box,
              layout_.heading_baseline_mm);
        placed_.back().reversed = at_top;
    }

    void powers() {
        const std::string right = line_of(record::Eye::right, facts_.right);
        const std::string left = line_of(record::Eye::left, facts_.left);
        const double size =
            std::min(fitting_size(measure_, right, layout_.power, width(), "right lens", wider_label),
                     fitting_size(measure_, left, layout_.power, width(), "left lens", wider_label));
        place(right, size, layout_.margin_mm, layout_.right_baseline_mm);
        place(left, size, layout_.margin_mm, layout_.left_baseline_mm);
    }

    // How wide a line may be whose baseline is there, at that size. One dot is left free before the quiet
    // zone: a letter's edge may blacken the dot that it only touches.
    double room(double baseline_mm, double size_pt) const {
        const double foot = baseline_mm + hanging * size_pt * capital_mm_per_pt;
        const double clear_mm = quiet_mm_ + layout_.dot_mm;
        if (foot <= code_y_mm_ - clear_mm) return width();
        return code_x_mm_ - clear_mm - layout_.margin_mm;
    }

    void lower_part() {
        const double bottom = layout_.height_mm - layout_.margin_mm;
        const double number_size = fitting_size(measure_, facts_.number, layout_.number, room(bottom, 1),
                                                "number", "use a shorter bench code");
        const double top = layout_.left_baseline_mm + 0.8 * layout_.gap_mm;
        const double foot = bottom - number_size * capital_mm_per_pt - 0.5;
        // How wide a line may be hangs on where it stands, and that on the number of lines: more and more of
        // them are tried, closer together.
        std::optional<LabelRefused> refused;
        for (int lines = 1;; ++lines) {
            const double pitch =
                std::min((foot - top) / lines, widest_pitch * layout_.details.largest_pt * capital_mm_per_pt);
            const double size = std::min(layout_.details.largest_pt, pitch / least_pitch / capital_mm_per_pt);
            if (size < layout_.details.least_pt)
                throw refused.value_or(LabelRefused("label", "there is more to say than fits on it",
                                                    "use a larger label, or have fewer facts on it"));
            try {
                if (place_lines(top, pitch, size, lines)) break;
            } catch (const LabelRefused& too_wide) {
                refused = too_wide;
            }
        }
        place(facts_.number, number_size, layout_.margin_mm, bottom);
    }

    // Places all lines if they need no more than `most`. The size is what the pitch allows; a line that is
    // too wide is set smaller.
    bool place_lines(double top, double pitch, double size, int most) {
        std::vector<PlacedText> placed;
        const Letters letters{size, layout_.details.least_pt};
        double baseline = top + size * capital_mm_per_pt;
        int used = 0;
        const auto room_here = [&] { return room(baseline, size); };
        const auto add = [&](const Line& line) {
            if (used++ == most) return false;
            const std::string whole = line.at_right.empty() ? line.text : line.text + "  " + line.at_right;
            const double set =
                fitting_size(measure_, whole, letters, room_here(), line.where, line.next_step);
            placed.push_back({line.text, set, layout_.margin_mm, baseline, line.reversed});
            if (!line.at_right.empty()) {
                // At the end of the column, but never far from what it stands beside.
                const double column = code_x_mm_ - quiet_mm_ - layout_.margin_mm;
                const double together = measure_(whole, set);
                const double end = std::max(together, std::min(column, 1.3 * together));
                placed.push_back(
                    {line.at_right, set, layout_.margin_mm + end - measure_(line.at_right, set), baseline});
            }
            baseline += pitch;
            return true;
        };
        // Words go into as many lines as they need, never split within one.
        const auto add_words = [&](const std::vector<std::string>& words, const std::string& between,
                                   const char* where) {
            std::string line;
            for (const std::string& word : words) {
                const std::string longer = line.empty() ? word : line + between + word;
                if (line.empty() || measure_(longer, size) <= room_here()) {
                    line = longer;
                    continue;
                }
                if (!add({line, "", where})) return false;
                line = word;
            }
            return line.empty() || add({line, "", where});
        };
        // In one line where that can be, be it in smaller letters: broken in two it is read as two things.
        const auto add_in_one_or_two = [&](const std::string& first, const std::string& second,
                                           const char* where) {
            const std::string whole = first + ' ' + second;
            if (measure_(whole, letters.least_pt) <= room_here()) return add({whole, "", where});
            return add({first, "", where}) && add({second, "", where});
        };
        if (facts_.right_addition && facts_.left_addition) {
            const std::string powers = for_both("Add", *facts_.right_addition, *facts_.left_addition);
            const std::string kind = facts_.addition_kind +
                                     (facts_.addition_by.empty() ? "" : ", " + facts_.addition_by) +
                                     (is_rare_addition(facts_) ? ", check" : "");
            if (!add_in_one_or_two(powers, kind, "addition")) return false;
        }
        if (!layout_.is_small) {
            const auto equivalent = [](double value) { return Dioptre::nearest(value); };
            if (!add({for_both("SE", equivalent(facts_.right_equivalent), equivalent(facts_.left_equivalent)),
                      "", "spherical equivalents"}))
                return false;
        }
        if (!add({millimetres(facts_.centres_mm), facts_.date, "centre distance and date"})) return false;
        if (!add_words(frame_words(facts_), " \u00b7 ", "frame")) return false;
        if (!facts_.extra.empty() && !add({facts_.extra, "", "extra line", shorten})) return false;
        if (!add_in_one_or_two("Only after an", "eye examination.", "caution")) return false;
        const std::string marks = marks_of(facts_);
        if (!layout_.marks_at_top && !marks.empty() && !add({marks, "", "marks", wider_label, true}))
            return false;
        placed_.insert(placed_.end(), placed.begin(), placed.end());
        return true;
    }

    void place(const std::string& text, double size, double x, double baseline) {
        placed_.push_back({text, size, x, baseline});
    }

    const record::LabelFacts& facts_;
    const Layout& layout_;
    const Measure& measure_;
    int dots_;
    QrCode code_;
    double quiet_mm_ = 0;
    double code_x_mm_ = 0;
    double code_y_mm_ = 0;
    std::vector<PlacedText> placed_;
};

}  // namespace

double fitting_size(const Measure& measure, const std::string& text, const Letters& letters, double room_mm,
                    const char* where, const char* next_step) {
    // Widths grow with the size, so one measurement tells them all; a quarter point a step keeps sizes tidy.
    const double fits = room_mm / measure(text, 1);
    if (fits >= letters.largest_pt) return letters.largest_pt;
    const double tidy = std::floor(fits * 4) / 4;
    if (tidy >= letters.least_pt) return tidy;
    if (fits >= letters.least_pt) return letters.least_pt;
    throw LabelRefused(where, "'" + text + "' does not fit on the label", next_step);
}

Drawing compose_label(const record::LabelFacts& facts, const Layout& layout, const Measure& measure) {
    const QrCode code = qr_code(layout.is_small ? number_text(facts.number) : qr_text(facts));
    for (int dots = layout.most_dots_per_module;; --dots) {
        try {
            return Composer(facts, layout, measure, code, dots).compose();
        } catch (const LabelRefused&) {
            if (dots == layout.least_dots_per_module) throw;
        }
    }
}

Drawing compose_spectacles_label(const record::LabelFacts& facts, const record::LabelSize& size,
                                 const Measure& measure) {
    check_spectacles_size(size);
    const double margin = std::clamp(0.05 * size.height_mm, 0.8, 2.0);
    const double room = size.width_mm - 2 * margin;
    // Three lines of one height with two gaps of a third of it between them.
    const double capitals = std::min((size.height_mm - 2 * margin) / 3.9, 0.0655 * size.width_mm);
    const Letters letters{capitals / capital_mm_per_pt, 1.5 / capital_mm_per_pt};
    const std::string right = line_of(record::Eye::right, facts.right);
    const std::string left = line_of(record::Eye::left, facts.left);
    const double power = std::min(fitting_size(measure, right, letters, room, "right lens", wider_label),
                                  fitting_size(measure, left, letters, room, "left lens", wider_label));
    const std::string last = facts.number + (facts.copy > 0 ? " COPY " + std::to_string(facts.copy) : "");
    const double number = fitting_size(measure, last, {letters.largest_pt, 1.3 / capital_mm_per_pt}, room,
                                       "number", "use a shorter bench code");
    Drawing drawing{size.width_mm, size.height_mm, {}, std::nullopt};
    const double pitch = (size.height_mm - 2 * margin - capitals) / 2;
    drawing.texts.push_back({right, power, margin, margin + capitals});
    drawing.texts.push_back({left, power, margin, margin + capitals + pitch});
    drawing.texts.push_back({last, number, margin, size.height_mm - margin});
    return drawing;
}

}  // namespace pairmark::label
