// Where things stand on a label, by its size: one arrangement for every size. docs/label.md draws it.
// Millimetres from the top left corner; letters in points.
#pragma once

#include "host/record/label.hpp"

namespace pairmark::label {

/// Capitals of the label's font are this high, in millimetres for each point of the letter size.
inline constexpr double capital_mm_per_pt = 0.729 * 25.4 / 72;

/// Between which letter sizes a text may be set to fit.
struct Letters {
    double largest_pt;
    double least_pt;
};

struct Layout {
    double width_mm;
    double height_mm;
    double margin_mm;  // nothing but the QR code's quiet zone comes nearer to the edge
    double gap_mm;     // between the lines of the upper part
    Letters heading;   // the place, at the top edge
    Letters programme;
    Letters power;  // both power lines are set in one size
    Letters details;
    Letters number;
    double heading_baseline_mm;
    double right_baseline_mm;
    double left_baseline_mm;
    double dot_mm;             // one dot of the print head
    int most_dots_per_module;  // of the QR code: the largest that leaves room for everything is taken
    int least_dots_per_module;
    bool is_small;       // under 30 mm high or 50 mm wide: the QR code says the number alone, no equivalents
    bool marks_at_top;   // under 34 mm high: typed and COPY stand beside the place
    bool has_programme;  // there is room for the programme's name beside the place
};

/// The layout of a label. Throws LabelRefused for a size outside 40 x 20 to 100 x 60 mm, or a print head of
/// other than 203 (8 dots a millimetre) or 300 dots an inch.
Layout layout_for(const record::LabelSize& size, int dots_per_inch);

/// Throws LabelRefused unless a label for the spectacles themselves can have this size: 30 x 12 to 100 x 60
/// mm.
void check_spectacles_size(const record::LabelSize& size);

}  // namespace pairmark::label
