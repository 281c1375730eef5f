// The facts of a label, and what became of its printing.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "host/optics/power.hpp"

namespace pairmark::record {

/// Everything that stands on a label. Rendering reads this and the layout, nothing else.
struct LabelFacts {
    std::string number;  // with its check character
    std::string date;    // YYYY-MM-DD
    std::string place;   // where the pair is filed
    std::string programme;
    optics::Power right;  // minus cylinder, 0.25 D, as rounded
    optics::Power left;
    double right_equivalent = 0;  // spherical equivalents of the rounded powers, D
    double left_equivalent = 0;
    std::optional<optics::Dioptre> right_addition;
    std::optional<optics::Dioptre> left_addition;
    std::string addition_kind;  // "segment", "progressive"; empty without an addition
    // Where the near portion was measured: "front" or "back" vertex power (ISO 13666); empty: not known.
    std::string addition_by;
    std::optional<double> centres_mm;
    bool typed = false;  // a power was typed by a person, not read off the instrument
    int copy = 0;        // 0: the first print; else COPY and this number

    // Facts of the frame and wearer, where the programme wants them on its labels. Empty: not there.
    std::string
        frame_size;      // "52-18-140" (boxed width, distance between lenses, side; mm, ISO 8624) or S, M, L
    std::string wearer;  // "adult", "child"
    std::string style;   // "women", "men", "either"
    std::string rim;     // "full", "cord", "none"
    bool single_vision = false;  // looked at and found to have no addition
    std::string extra;           // a line of the programme's own
};

/// What a programme's labels are made on. Sizes in millimetres, from 40 x 20 to 100 x 60.
struct LabelSize {
    double width_mm = 60;
    double height_mm = 40;
    friend bool operator==(const LabelSize&, const LabelSize&) = default;
};
struct LabelPaper {
    LabelSize size;
    int dots_per_inch = 203;                  // of the print head: 203 (8 dots a millimetre) or 300
    std::optional<LabelSize> for_spectacles;  // a second, smaller label for the spectacles themselves
    friend bool operator==(const LabelPaper&, const LabelPaper&) = default;
};

/// waiting: not begun. sending: bytes may have left. printed: the printer's (or folder's) word. confirmed: a
/// person's. failed: known that no document byte left. in_doubt: may have come out. void_: its number is
/// void.
enum class PrintOutcome { waiting, sending, printed, confirmed, failed, held, in_doubt, void_ };
std::string_view word(PrintOutcome outcome);  // "waiting", ..., "in-doubt", "void"
std::optional<PrintOutcome> print_outcome(std::string_view word);

/// A label to be printed, durable before its first byte leaves.
struct PrintIntent {
    std::int64_t id = 0;
    std::int64_t pair = 0;
    LabelFacts facts;
    std::string rules_hash;
    std::string document;  // the rendered PDF, whole
    PrintOutcome outcome = PrintOutcome::waiting;
    std::string say;
};

enum class PrinterState { ready, busy, needs_you, absent };

/// The health of the link to the adapter, in words that the bench shows.
enum class LinkHealth { absent, opening, silent, greeting, healthy, clash };
std::string_view word(LinkHealth health);

}  // namespace pairmark::record
