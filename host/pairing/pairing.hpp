// The life of a pair: readings, marks and key presses in, pairs out. docs/pairs.md tells it for people.
//
//   open --both lenses--> complete --settle(keep)--> decided --Numbered--> labelled
//     |                      |------settle(discard) or turn down--------> turned_down
//     |                      |------settle(ask), or away with a question-> asking
//   A mark, a reading's undo or an answer takes a settled pair back to complete (or open); its number is then
//   void. An act undone to nothing leaves gone.
//
// No clock, file, socket, thread or chance: the same events with the same settlements give the same pairs.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "host/record/event.hpp"
#include "host/record/pair.hpp"
#include "host/record/verdict.hpp"

namespace pairmark::pairing {

struct Settings {
    /// Looking over is done at an earlier table: every pair counts as looked over from its first reading or
    /// mark.
    bool looked_over_earlier = true;
};

/// What an event did. In the order in which it happened; several may name the same pair.
struct Change {
    enum class What {
        pair,        // `pair` changed: show it, and grade it if needs_decision(pair)
        label_void,  // `text` is the number of a label to tear up; it stood for `pair`
        awaiting,    // the eye that the bench awaits changed; `text` is "right", "left" or "" (a question
                     // decides)
        said,        // `text` is one sentence for the bench about `pair` (0: about no pair)
    };
    What what = What::pair;
    std::int64_t pair = 0;
    std::string text;
};

/// The pairs of a store, in the order in which they were begun.
///
/// Use: for each event in order, apply() it; then for each `pair` change whose needs_decision() is true,
/// grade the pair and settle() it. Numbered is an event and comes back through apply(). Nothing here throws
/// for what an event says; an act that cannot be done is said and changes nothing.
class Table {
  public:
    explicit Table(Settings settings = {});
    ~Table();
    Table(Table&&) noexcept;
    Table& operator=(Table&&) noexcept;

    /// Takes one event. Events must come in rising order of `sequence`. Kinds that decide nothing here
    /// (Started, TextInForce, Printed, Noted) change nothing.
    std::vector<Change> apply(const record::Event& event);

    /// What grading said of a pair: keep -> decided, discard -> turned_down, ask -> asking. Returns false,
    /// and changes nothing, unless needs_decision(pair).
    bool settle(std::int64_t pair, record::Decision decision);

    /// From here on; pairs already begun keep what they have.
    void use(Settings settings);

    /// Complete, looked over, released, without a question, and not settled since it last changed.
    bool needs_decision(std::int64_t pair) const;

    /// Null for an id that never was. A pair undone to nothing is found, in state gone. The pointer is valid
    /// until the next non-const call.
    const record::Pair* find(std::int64_t pair) const;
    /// The pair in the volunteer's hands: the one last begun or taken up again, until it goes to its tray
    /// with a question. Labelled or turned down, it stays until the next is begun. Null if none.
    const record::Pair* at_bench() const;
    /// As at_bench(), but also when it has gone to its tray: what an act that names no pair is about. Null if
    /// none.
    const record::Pair* latest() const;
    /// How many pairs were ever begun; their ids are 1 to count().
    std::int64_t count() const;

    /// The eye that a reading without an eye would be taken for, if it came now. None: an open question
    /// decides.
    std::optional<record::Eye> awaited() const;

    /// What the last check of the lens meter said; due also where it is too old.
    record::InstrumentCheck instrument_check() const;

    /// The number that the pair's label bears now; empty if it has none.
    const std::string& number(std::int64_t pair) const;
    /// Events of readings that wait in a question of this pair, in order.
    std::vector<std::int64_t> pending(std::int64_t pair) const;
    /// Events of this pair's readings that a newer one replaced or an answer set aside, in order of setting
    /// aside.
    std::vector<std::int64_t> superseded(std::int64_t pair) const;

  private:
    class Machine;
    std::unique_ptr<Machine> machine_;
};

}  // namespace pairmark::pairing
