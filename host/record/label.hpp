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
    std::optional<double> centres_mm;
    bool typed = false;  // a power was typed by a person, not read off the instrument
    int copy = 0;        // 0: the first print; else COPY and this number
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
