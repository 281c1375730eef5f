// A pair with what only pairing needs to know of it.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "host/record/pair.hpp"
#include "host/record/verdict.hpp"

namespace pairmark::pairing {

/// A reading on its way into a pair, or waiting in a question.
struct Arrival {
    record::MeasuredLens lens;  // lens.reading.eye: as the instrument named it, if it did
    std::optional<double> centres_mm;
    std::uint32_t boot = 0;  // how many restarts were known when it came
    bool late = false;
    record::Eye eye = record::Eye::right;  // in a same-lens-twice question: the eye it was taken for
};

/// Everything that an act can change and an undo restores.
struct Content {
    record::Pair pair;  // its state follows from the rest: see state_of
    std::vector<Arrival> held;
    std::vector<std::int64_t> superseded;
    std::optional<record::Decision> settled;
    std::int64_t centres_event = 0;  // which reading gave centres_mm; 0: none
    std::uint32_t boot = 0;          // of the newest reading among the lenses
    bool away = false;               // it has left the volunteer's hands
};

/// What undoing one act needs. An ordinary day is openings and second lenses, which need no copy of the pair.
struct Step {
    enum class Kind : std::uint8_t {
        opened,      // before it there was no pair
        lens_added,  // before it the lens was missing, and no question, hold or centre distance was there
        changed,     // `before` has it all
    };
    std::unique_ptr<Content> before;
    std::int64_t hand_before = 0;  // the pair in the volunteer's hands before the act
    std::int64_t put_away = 0;     // the pair that this act put away; 0: none
    std::string_view asked;        // the question that this put to it; empty: none
    std::int64_t created = 0;      // the pair that this answer began; 0: none
    std::int64_t caused_by = 0;    // the pair whose answer began this one; 0: none
    std::uint32_t boot_before = 0;
    Kind kind = Kind::opened;
    record::Eye eye = record::Eye::right;
    bool late_before = false;
};

struct Slot {
    Content now;
    std::string number;  // of the label that it bears; empty: none
    std::vector<std::string> void_numbers;
    std::vector<Step> steps;  // the acts, oldest first

    record::Pair& pair() { return now.pair; }
    const record::Pair& pair() const { return now.pair; }
};

/// gone is final and not derived: it is set when an undo leaves nothing.
record::PairState state_of(const Slot& slot);

/// A lens, or a reading in a question.
bool has_reading(const Content& content);
/// The eye that is measured next in an open pair: right first.
record::Eye awaited_in(const record::Pair& pair);

/// Whether the newer reading of an eye may stand for the older without asking: within 0.25 D in every
/// meridian, and no addition lost or changed by more than 0.25 D.
bool agree(const record::LensReading& older, const record::LensReading& newer);
/// Whether every meridian of `there` has 0.50 D or more plus than `here`: what a second place, further down,
/// of a segment or progressive shows (common practice, no published source).
bool is_more_plus(const record::LensReading& here, const record::LensReading& there);

}  // namespace pairmark::pairing
