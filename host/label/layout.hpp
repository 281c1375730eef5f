// Where things stand on a label, by its size. Millimetres from the top left corner; letters in points.
#pragma once

namespace pairmark::label {

/// One line of text: its baseline, and the letter sizes between which it may be set to fit. Capitals are
/// 0.729 of the letter size high.
struct Row {
    double baseline_mm;
    double largest_pt;
    double least_pt;
};

struct Layout {
    double width_mm;
    double height_mm;
    double margin_mm;  // nothing but the QR code's quiet zone comes nearer to the edge
    Row heading;       // place to the left, programme to the right
    Row programme;
    Row right_power;  // both power lines are set in one size
    Row left_power;
    Row details;  // first of the lines beside the QR code: additions, equivalents, centre distance and date
    double details_pitch_mm;
    Row caution;
    Row marks;            // typed, COPY
    Row number;           // beside the foot of the QR code
    double dot_mm;        // one dot of the print head
    int dots_per_module;  // of the QR code
    int largest_qr;       // modules a side, without the quiet zone
};

/// 60 x 40 mm at 8 dots a millimetre. Power lines in capitals 3.9 mm high, never under 3.0 mm.
constexpr Layout label_60x40() {
    return {
        .width_mm = 60,
        .height_mm = 40,
        .margin_mm = 2,
        .heading = {4.2, 10, 7},
        .programme = {4.2, 7, 5.9},
        .right_power = {9.8, 15, 11.7},
        .left_power = {15.1, 15, 11.7},
        .details = {18.6, 7, 5.9},
        .details_pitch_mm = 2.95,
        .caution = {30.1, 6.7, 5.9},
        .marks = {33.6, 7.5, 6.5},
        .number = {37.8, 11, 6.5},
        .dot_mm = 0.125,
        .dots_per_module = 4,
        .largest_qr = 41,
    };
}

}  // namespace pairmark::label
