// Whether the computer's clock can be right: a clock that went back would put a wrong day on labels.
#pragma once

#include <chrono>
#include <string>

#include "host/record/event.hpp"

namespace pairmark::bench {

/// Knows the newest moment at which anything was recorded. Numbers never come from it; it only holds labels.
class ClockWatch {
  public:
    using Moment = std::chrono::system_clock::time_point;

    /// Every event of the store, in order. A person's word that the clock is right (`clock_right`) counts
    /// from there on, so that one day with a clock far ahead does not hold labels for years.
    void saw(const record::Event& event);

    /// The clock shows a moment before the newest event. A second is allowed: time services move a clock back
    /// by less.
    bool is_back(Moment now) const { return now + std::chrono::seconds(1) < newest_; }
    /// The best that is known of the time: the clock, or the newest event where the clock is back.
    Moment believable(Moment now) const { return is_back(now) ? newest_ : now; }
    Moment newest() const { return newest_; }

    /// `what` of the note that says so.
    static constexpr const char* clock_right = "clock-right";

  private:
    Moment newest_{};
};

}  // namespace pairmark::bench
