// What the bench shows, made from the store's events alone: the pairs as they are now, and where each reading
// went. The daemon's own memory is not asked.
#pragma once

#include <cstdint>
#include <set>
#include <string>
#include <vector>

#include "host/bench/pipeline.hpp"
#include "host/store/store.hpp"

namespace pairmark::days {

class Screen {
  public:
    struct Held {
        std::int64_t event;
        record::LensReading lens;
    };

    /// Takes the events that came since the last call.
    void follow(const store::Store& store);

    const pairing::Table& table() const { return pipeline_.table(); }
    const bench::Pipeline& pipeline() const { return pipeline_; }
    const std::vector<Held>& readings() const { return readings_; }
    unsigned keys() const { return keys_; }
    unsigned acts() const { return acts_; }  // releases and acts on labels not counted
    unsigned late() const { return late_; }
    unsigned numbers() const { return numbers_; }
    /// The label of this kept pair was refused: something that must stand on it is missing.
    bool label_is_refused(std::int64_t pair) const;
    /// A pair bears this number now.
    bool is_in_force(const std::string& number) const;

    /// A sentence for each reading that is not exactly one of: part of one decided pair, replaced, undone,
    /// set aside, in half a pair or a question that is shown.
    std::vector<std::string> misplaced() const;

  private:
    std::vector<std::string> places_of(std::int64_t event) const;
    bool is_shown(const record::Pair& pair) const;

    bench::Pipeline pipeline_;
    std::int64_t next_ = 1;
    std::vector<Held> readings_;
    std::set<std::int64_t> undone_;
    std::vector<std::string> refused_;
    unsigned keys_ = 0;
    unsigned acts_ = 0;
    unsigned late_ = 0;
    unsigned numbers_ = 0;
};

}  // namespace pairmark::days
