// What the computer makes of the adapter's events: the real pairing, and a book of where each reading went.
#pragma once

#include <cstdint>
#include <set>
#include <string>
#include <vector>

#include "host/pairing/pairing.hpp"
#include "protocol/event_record.hpp"

namespace pairmark::sim {

class PairingHost {
  public:
    void take(const protocol::EventLine& event);
    void greeted(bool reset, bool changed);
    /// What a person sees on the screen and does: answers "the same pair" after a restart, releases a pair
    /// that is held because a reading came late.
    void answer_what_is_asked();

    const pairing::Table& table() const { return table_; }
    /// Readings and keys so far.
    unsigned readings_of(int sphere) const;
    unsigned keys(protocol::Key key) const;
    unsigned readings() const { return static_cast<unsigned>(readings_.size()); }

    /// Looks where each reading is. Empty if each is exactly one of: part of one decided pair, replaced,
    /// undone, set aside, or in half a pair that is shown (at the bench, or in a tray with its question);
    /// else what is wrong.
    std::string misplaced() const;

  private:
    struct Held {
        std::int64_t event;
        int sphere;
    };
    std::vector<pairing::Change> apply(record::EventBody body);
    /// Where an event's reading is, in words; empty if nowhere.
    std::string place_of(std::int64_t event) const;

    pairing::Table table_;
    std::int64_t sequence_ = 0;
    std::int64_t labels_ = 0;
    std::vector<Held> readings_;
    std::vector<protocol::Key> keys_;
    std::set<std::int64_t> undone_;
};

}  // namespace pairmark::sim
