// All that follows from a store's events, made again from them alone: the rows that must stand in its tables.
//
// A pair's row says how the pair stood after the last event that left it complete, asking, labelled, turned
// down or gone. While it is open again it has none of its own (DEVELOPERS.md, Decisions): the row from before
// may stay. While it is kept and its label not made yet, both that row and the newer one are right.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "host/bench/pipeline.hpp"
#include "host/record/event.hpp"
#include "host/store/rows.hpp"

namespace pairmark::bench {

struct DerivedPair {
    std::vector<store::StoredPair> rows;  // each of them is right; the last is the newest
    bool needs_row = false;
};

/// A number that was given.
struct DerivedLabel {
    store::LabelRow row;
    std::int64_t event = 0;  // that gave it
    bool was_kept = true;    // false: to a pair that these events do not keep; its facts are not known
    // What its document is drawn from.
    record::LabelFacts facts;
    record::LabelPaper paper;
    std::string rules_hash;
};

/// What the events say that cannot be: told with the event, never mended.
struct Oddity {
    std::int64_t event = 0;
    std::string say;
};

struct Derived {
    std::int64_t events = 0;
    std::vector<DerivedPair> pairs;    // pair 1 first
    std::vector<DerivedLabel> labels;  // in the order in which they were given
    std::map<std::pair<std::string, std::int64_t>, std::string>
        printed;  // number and copy to the newest outcome
    std::vector<Oddity> oddities;
    std::vector<std::int64_t> open_pairs;  // half pairs, or marks without a reading
    std::vector<std::int64_t> unlabelled;  // kept, without a number
};

class Deriver {
  public:
    /// Takes one event, in rising order of sequence. Throws record::BadRecord, without the event's number,
    /// for a text in force that is none; nothing may be taken afterwards.
    void take(const record::Event& event);
    Derived finish() &&;

  private:
    void number(const record::Numbered& numbered, std::int64_t sequence);
    void void_number(const std::string& number);
    void follow(std::int64_t pair, std::int64_t sequence);

    Pipeline pipeline_;
    Derived derived_;
    std::map<std::string, std::size_t> label_at_;              // number to its place in `labels`
    std::set<std::pair<std::string, std::int64_t>> counters_;  // series and counter
};

}  // namespace pairmark::bench
