// What was measured: one lens, one capture.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "host/optics/power.hpp"

namespace pairmark::record {

enum class Eye { right, left };

constexpr Eye other(Eye eye) {
    return eye == Eye::right ? Eye::left : Eye::right;
}
/// "right" or "left": the word in JSON. `letter` is R or L, as on the label.
std::string_view word(Eye eye);
constexpr char letter(Eye eye) {
    return eye == Eye::right ? 'R' : 'L';
}

/// Prism in prism dioptres (cm/m). Base in and base up are plus.
struct Prism {
    optics::Dioptre horizontal;
    optics::Dioptre vertical;
    friend bool operator==(const Prism&, const Prism&) = default;
};

/// One lens as the instrument showed it, cut eighths repaired; not transposed, not rounded.
struct LensReading {
    std::optional<Eye> eye;  // as the instrument named it; none if it names no eye
    optics::Power power;
    std::optional<optics::Dioptre> addition;  // absent: not reported
    std::optional<Prism> prism;
    friend bool operator==(const LensReading&, const LensReading&) = default;
};

enum class Source { instrument, typed };

/// One capture: one lens, or both (right before left).
struct Reading {
    std::vector<LensReading> lenses;   // 1 or 2
    std::optional<double> centres_mm;  // distance between the optical centres
    optics::Dioptre step;              // what the instrument counts in: 0.25, 0.125 or 0.01 D
    Source source = Source::instrument;
    /// The instrument's profile says that both lenses are measured on one table that is not moved in between:
    /// only then can their vertical prisms be compared.
    bool one_table = false;
    friend bool operator==(const Reading&, const Reading&) = default;
};

}  // namespace pairmark::record
