// A pair of spectacles on its way across the bench.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "host/record/mark.hpp"
#include "host/record/reading.hpp"

namespace pairmark::record {

/// open: a reading or a mark exists. complete: both lenses. asking: it lies in a tray with its question.
/// decided: kept, its label is being made. labelled, turned_down, gone (undone to nothing).
enum class PairState { open, complete, asking, decided, labelled, turned_down, gone };
std::string_view word(PairState state);

/// What the last check of the lens meter (nothing on the stop, then a lens of known power) said when a lens
/// was measured. due: there was none within a working day.
enum class InstrumentCheck { due, passed, failed };
std::string_view word(InstrumentCheck check);

/// A lens of a pair: the reading that counts and the event it came from.
struct MeasuredLens {
    LensReading reading;
    std::int64_t event = 0;
    optics::Dioptre step;
    bool typed = false;
    bool one_table = false;  // see Reading
    InstrumentCheck check = InstrumentCheck::due;
};

/// A question that keeps a pair from being decided. `id` is stable (for rules, cues and translations);
/// `choices` are the answers that a person may give, first the one that "go on" means (none: it can only be
/// set right or turned down).
struct Question {
    std::string id;
    std::string say;
    std::vector<std::string> choices;
    friend bool operator==(const Question&, const Question&) = default;
};

struct Pair {
    std::int64_t id = 0;  // from 1 in the order in which pairs were begun
    PairState state = PairState::open;
    std::optional<MeasuredLens> right;
    std::optional<MeasuredLens> left;
    std::optional<double> centres_mm;
    Marks marks;
    std::vector<Question> questions;                 // put by pairing; grading adds its own in the verdict
    std::optional<std::string> turned_down_because;  // set when a person turned it down; may be empty text
    bool looked_over = false;
    bool late = false;  // a reading of it came late and nobody released it
    /// A lens was measured at two places and its power varies between them: a segment or progressive,
    /// whatever is marked. Its addition is not known from that.
    bool power_varies = false;
    int labels_made = 0;  // how many numbers it has had

    const std::optional<MeasuredLens>& lens(Eye eye) const { return eye == Eye::right ? right : left; }
    std::optional<MeasuredLens>& lens(Eye eye) { return eye == Eye::right ? right : left; }
    bool has_both() const { return right && left; }
};

}  // namespace pairmark::record
