#include "host/label/layout.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string>

#include "host/label/refused.hpp"

namespace pairmark::label {
namespace {

std::string text_of(const record::LabelSize& size) {
    char text[48];
    (void)std::snprintf(text, sizeof text, "%g x %g mm", size.width_mm, size.height_mm);
    return text;
}

double points(double capitals_mm) {
    return capitals_mm / capital_mm_per_pt;
}

// Also for a size that is not a number.
void require_size(const record::LabelSize& size, double least_width, double least_height,
                  const char* next_step) {
    const bool fits = size.width_mm >= least_width && size.width_mm <= 100 &&
                      size.height_mm >= least_height && size.height_mm <= 60;
    if (!fits) throw LabelRefused("label size", text_of(size) + " is not possible", next_step);
}

}  // namespace

Layout layout_for(const record::LabelSize& size, int dots_per_inch) {
    require_size(size, 40, 20, "choose a size from 40 x 20 to 100 x 60 mm");
    if (dots_per_inch != 203 && dots_per_inch != 300)
        throw LabelRefused("label printer", std::to_string(dots_per_inch) + " dots an inch are not possible",
                           "choose 203 or 300");
    const double width = size.width_mm;
    const double height = size.height_mm;
    const bool low = height < 34;
    Layout layout{};
    layout.width_mm = width;
    layout.height_mm = height;
    layout.is_small = height < 30 || width < 50;
    layout.marks_at_top = height < 30 || (low && width >= 50);
    layout.has_programme = width >= 50 && !low;
    layout.margin_mm = std::clamp(0.05 * std::min(width, height), 1.2, 2.5);
    layout.gap_mm = std::clamp(0.032 * height, 0.8, 1.7);

    // The widest power in use fills the width with capitals of 0.056 to 0.06 of it; a shorter one may be
    // larger.
    const double power = std::min(0.0655 * width, 0.09 * height + 0.35);
    // The place is not larger than the powers, be they the widest.
    const double heading = std::min(std::clamp(0.064 * height, 1.7, 3.8), 0.055 * width);
    // Low labels are held in the hand: smaller letters are allowed the lower they are.
    const auto least_between = [height](double at_30_mm, double at_40_mm) {
        return at_30_mm + (at_40_mm - at_30_mm) * std::clamp((height - 30) / 10, 0.0, 1.0);
    };
    layout.heading = {points(heading), points(width < 50 ? 1.5 : least_between(1.5, 1.8))};
    layout.programme = {points(std::max(0.7 * heading, 1.5)), points(1.5)};
    layout.power = {points(power), points(std::min(0.05 * width, 0.08 * height + 0.4))};
    layout.details = {
        points(std::min(std::clamp(0.045 * height, least_between(1.35, 1.6), 2.6), 0.75 * power)),
        points(least_between(1.25, 1.5))};
    layout.number = {points(std::min(std::clamp(0.07 * height, 1.55, 3.6), 0.9 * power)),
                     points(least_between(1.35, 1.5))};

    layout.heading_baseline_mm = layout.margin_mm + heading;
    layout.right_baseline_mm = layout.heading_baseline_mm + layout.gap_mm + power;
    layout.left_baseline_mm = layout.right_baseline_mm + layout.gap_mm + power;

    // 8 dots a millimetre are 203.2 dpi, as such print heads are made; common practice, no published source.
    layout.dot_mm = dots_per_inch == 203 ? 0.125 : 25.4 / 300;
    const int larger = (height >= 45 ? 1 : 0) + (height >= 55 ? 1 : 0);
    layout.most_dots_per_module = dots_per_inch == 203 ? 4 + larger : 6 + larger;
    layout.least_dots_per_module = dots_per_inch == 203 ? 3 : 4;
    return layout;
}

void check_spectacles_size(const record::LabelSize& size) {
    require_size(size, 30, 12, "choose a size from 30 x 12 to 100 x 60 mm for the spectacles' own label");
}

}  // namespace pairmark::label
