// What the store hands out besides events.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "host/record/event.hpp"
#include "host/record/label.hpp"

namespace pairmark::store {

/// What the store knows of an adapter's event. clash: the same adapter, epoch and number, but another record.
enum class Known { unknown, same, clash };

/// A pair as it was last put. The bodies are JSON texts.
struct StoredPair {
    std::int64_t id = 0;
    std::string state;  // a word of PairState
    std::string body;
    std::optional<std::string> verdict;
    std::int64_t last_event = 0;  // the newest event when it was put
};

/// A label's number and what it stands for. A row is never removed: a void number stays used.
struct StoredLabel {
    std::string number;
    std::int64_t pair = 0;
    std::string series;
    std::int64_t counter = 0;
    bool is_void = false;
    std::string date;
    std::string place;
    record::LabelFacts facts;
};

/// A print intent without its document, which can be large.
struct StoredIntent {
    std::int64_t id = 0;
    std::int64_t pair = 0;
    std::string label;  // its number
    int copy = 0;
    record::PrintOutcome outcome = record::PrintOutcome::waiting;
    std::string say;
    std::string rules_hash;
};

/// An event that was not believed: its identity clashes with one that is stored.
struct Quarantined {
    std::int64_t id = 0;
    std::string at;
    std::string adapter;
    std::uint32_t epoch = 0;
    std::uint32_t number = 0;
    std::uint32_t record_crc = 0;
    std::string line;
};

// The same rows as they lie in the tables, for looking them over and putting them right: nothing in them is
// taken for granted, so that a damaged one can be named.

/// An event's row. `event` is absent where the body can't be read; `fault` then says why. `indexed` is what
/// the columns beside the body say: by them an adapter's event is found again.
struct EventRow {
    std::int64_t sequence = 0;
    std::optional<record::Event> event;
    std::string fault;
    std::optional<record::AdapterEventId> indexed;
};

struct LabelRow {
    std::string number;
    std::int64_t pair = 0;
    std::string series;
    std::int64_t counter = 0;
    std::string state;  // "valid", "void"
    std::string date;
    std::string place;
    std::string facts;  // JSON text
    friend bool operator==(const LabelRow&, const LabelRow&) = default;
};

struct IntentRow {
    std::int64_t id = 0;
    std::int64_t pair = 0;
    std::string label;
    std::int64_t copy = 0;
    std::string outcome;  // a word of PrintOutcome
    std::string rules_hash;
};

}  // namespace pairmark::store
