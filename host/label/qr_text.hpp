// The label's facts as one line of plain text, for the QR code. docs/label.md has the grammar.
//
// Trust: scanned text is outside bytes. Invariants of parse_qr_text:
//   Q1  what it accepts holds every condition of check_facts;
//   Q2  qr_text of what it gives is the text it was given, byte for byte: one text a label, no other
//   spelling; Q3  anything else throws BadQrText; no input makes it read beyond its end, or allocate beyond a
//   few times its length.
#pragma once

#include <stdexcept>
#include <string>
#include <string_view>

#include "host/record/label.hpp"

namespace pairmark::label {

/// Text that is not a label's. `what()` says which part, and what was expected.
struct BadQrText : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// `PM1 K7-A-00042-M R-1.25-0.50X085 L+2.00DS SE-1.50/+2.00 CD62.0 2026-11-24 AT BOX 3`: everything on the
/// label but the frame's facts, the programme's name and its extra line. Precondition: check_facts(facts)
/// passes.
std::string qr_text(const record::LabelFacts& facts);

/// The facts again; those of the frame, the programme's name and extra line are empty. Throws BadQrText.
record::LabelFacts parse_qr_text(std::string_view text);

/// `PM1 K7-A-00042-H`: all that the QR code of a low label says.
std::string number_text(const std::string& number);

/// The number in either text, its check character verified. Throws BadQrText.
std::string parse_number(std::string_view text);

}  // namespace pairmark::label
