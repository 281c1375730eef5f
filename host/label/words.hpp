// Powers as the trade writes them.
#pragma once

#include <string>

#include "host/optics/power.hpp"
#include "host/record/reading.hpp"

namespace pairmark::label {

/// The characters that differ between print and plain text. `before_axis` stands between cylinder and axis.
struct Signs {
    const char* plus;
    const char* minus;
    const char* blank;        // between the parts of a power
    const char* before_axis;  // with its blanks
};

/// A true minus (U+2212) and a multiplication sign (U+00D7), as on the label.
inline constexpr Signs printed_signs{"+", "\u2212", " ", " \u00d7 "};
/// ASCII, nothing between the parts, as in the QR code.
inline constexpr Signs plain_signs{"+", "-", "", "X"};

/// "−1.25", "+2.00", "0.00": a sign on everything but zero. Two decimals; three where the value is no whole
/// hundredth (the spherical equivalent of quarter steps can be −1.375); rounded to the nearest thousandth, so
/// never "-0.00".
std::string text_of(optics::Dioptre value, const Signs& signs = printed_signs);

/// "−1.25 −0.50 × 085"; "+2.00 DS" without a cylinder. Axis in three digits, 000 becomes 180.
/// Precondition: a whole axis from 0 to 180.
std::string text_of(const optics::Power& power, const Signs& signs = printed_signs);

/// "R −1.25 −0.50 × 085", as on the label.
std::string line_of(record::Eye eye, const optics::Power& power);

}  // namespace pairmark::label
