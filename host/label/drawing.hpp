// A label as placed texts and a QR code: what is drawn, before anything is.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "host/label/layout.hpp"
#include "host/label/qr.hpp"
#include "host/record/label.hpp"

namespace pairmark::label {

struct PlacedText {
    std::string text;
    double size_pt;
    double x_mm;
    double baseline_mm;
    bool reversed = false;  // white on a black box
};

struct PlacedCode {
    QrCode code;
    double x_mm;  // of the symbol's top left module, on a whole dot
    double y_mm;
    int dots_per_module;
    double dot_mm;
};

/// Texts stand in the order in which the paper leaves the printer; number and QR code come last, so that a
/// label torn off by a fault lacks them, and is seen to be broken.
struct Drawing {
    double width_mm = 0;
    double height_mm = 0;
    std::vector<PlacedText> texts;
    std::optional<PlacedCode> code;
};

/// The width of a text in the label's font, mm.
using Measure = std::function<double(const std::string& text, double size_pt)>;

/// The largest size of `letters`, in steps of a quarter point below its largest, at which the text is no
/// wider than `room_mm`. Throws LabelRefused if it does not fit at the least.
double fitting_size(const Measure& measure, const std::string& text, const Letters& letters, double room_mm,
                    const char* where, const char* next_step);

/// The envelope's label. Throws LabelRefused for what does not fit. Precondition: check_facts(facts) passes.
Drawing compose_label(const record::LabelFacts& facts, const Layout& layout, const Measure& measure);

/// The small label for the spectacles themselves: powers and number. Throws LabelRefused for what does not
/// fit, or a size that is not possible.
Drawing compose_spectacles_label(const record::LabelFacts& facts, const record::LabelSize& size,
                                 const Measure& measure);

}  // namespace pairmark::label
