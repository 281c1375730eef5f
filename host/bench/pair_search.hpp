// One pair out of a session's events, and the rules by which it was decided.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "host/bench/pipeline.hpp"
#include "host/record/event.hpp"

namespace pairmark::bench {

/// A pair as it stands after the last event.
struct FoundPair {
    record::Pair pair;
    record::Verdict verdict;
    std::string number;  // that its label bears; empty: none
    /// The text of the rules that settled it, or where it is not settled of those in force at the end. The
    /// example's where the events name none.
    std::string rules_text;
    bool is_settled = false;
    std::int64_t settled_by = 0;  // the event that led to its verdict; 0: not settled
    std::string settled_at;       // that event's moment, UTC
};

class PairSearch {
  public:
    explicit PairSearch(std::int64_t pair);
    /// Takes one event, in rising order of sequence. Throws record::BadRecord with its number for a text in
    /// force that is none.
    void take(const record::Event& event);
    /// Nullopt if no such pair was begun.
    std::optional<FoundPair> found() const;
    /// How many pairs were begun.
    std::int64_t count() const { return pipeline_.table().count(); }

  private:
    std::int64_t id_;
    Pipeline pipeline_;
    std::string rules_now_;
    std::string rules_then_;  // when the pair was settled last
    std::int64_t settled_by_ = 0;
    std::string settled_at_;
};

}  // namespace pairmark::bench
