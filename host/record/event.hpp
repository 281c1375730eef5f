// Everything that decides, in one order. A session is a list of these and nothing else; replay reads nothing
// else.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "host/record/mark.hpp"
#include "host/record/reading.hpp"

namespace pairmark::record {

/// Which event of which adapter. `record_crc` is the CRC of the adapter's stored record.
struct AdapterEventId {
    std::string adapter;  // 16 hex digits
    std::uint32_t epoch = 0;
    std::uint32_t number = 0;
    std::uint32_t record_crc = 0;
    friend bool operator==(const AdapterEventId&, const AdapterEventId&) = default;
};

/// The daemon began. `decided_by` is its version.
struct Started {
    std::string version;
    std::string store;  // this store's id, 16 hex digits
    std::string bench;  // bench code on the labels
    std::string series;
};

/// A text is in force from here: the programme's rules, or the configuration's part that decides or is
/// printed.
struct TextInForce {
    std::string role;  // "rules" or "settings"
    std::string hash;  // SHA-256 of the text, hex
    std::string text;
};

/// An adapter was greeted. `reset`: it was started since this store last heard of it. `changed`: another
/// adapter, epoch or store than before; the next reading asks instead of joining a half pair.
struct Greeted {
    std::string adapter;
    std::uint32_t epoch = 0;
    std::string firmware;
    std::string board;
    std::string why;
    bool reset = false;
    bool changed = false;
    std::uint32_t missing = 0;  // readings that went to another store
};

/// A numbered reading. `late`: its age is unknown or above the set limit, or the link was not healthy.
struct ReadingTaken {
    std::optional<AdapterEventId> id;  // none: typed by a person
    Reading reading;
    std::optional<std::uint32_t> age_ms;
    bool first_after_reset = false;
    bool late = false;
};

enum class Key { go_on, turn_down, undo, set_aside };

struct KeyPressed {
    AdapterEventId id;
    Key key = Key::go_on;
    bool long_press = false;
    bool late = false;
};

/// A person's act on the page or by a command.
struct Acted {
    /// "mark" (values: name to value), "in-order", "turn-down" (reason), "undo", "set-aside", "answer"
    /// (choice), "release" (a held pair), "go-on"; on labels, `text` being the number: "print-again",
    /// "print-confirm", "print-release", and on all of them "print-hold", "print-resume"; on the lens meter,
    /// `text` being "passed" or "failed": "instrument-check"
    std::string act;
    std::optional<std::int64_t> pair;  // none: the pair at the bench
    Marks values;
    std::string text;  // reason or choice
};

/// A set time passed. `what`: "half-pair", of the pair that is named; "instrument-check", of no pair (0).
struct TimedOut {
    std::string what;
    std::int64_t pair = 0;
};

/// A label's number, date and place were given. In the same transaction as the label and its print intent.
struct Numbered {
    std::int64_t pair = 0;
    std::string number;  // bench, series, counter and check character as printed
    std::string series;
    std::int64_t counter = 0;
    std::string date;   // YYYY-MM-DD
    std::string place;  // where the pair is filed
};

/// An outcome of a print intent.
struct Printed {
    std::string number;
    int copy = 0;         // 0: the first
    std::string outcome;  // a word of PrintOutcome
    std::string say;
};

/// Nothing decides on it, but the day's record should tell it: the link's health changed, a label was
/// refused, ...
struct Noted {
    std::string what;
    std::string say;
};

using EventBody = std::variant<Started, TextInForce, Greeted, ReadingTaken, KeyPressed, Acted, TimedOut,
                               Numbered, Printed, Noted>;

struct Event {
    std::int64_t sequence = 0;  // from 1, without gaps
    std::string at;  // wall clock, UTC, "2026-11-24T22:50:00.123Z"; tells people when, decides nothing
    EventBody body;
};

}  // namespace pairmark::record
