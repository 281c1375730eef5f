// How long the last check of the lens meter counts.
#pragma once

#include <chrono>
#include <optional>

#include "host/bench/timers.hpp"
#include "host/record/event.hpp"

namespace pairmark::bench {

/// A passed check counts for a working day; a failed one until the next. That it is over is an event, since a
/// clock decides nothing when the events are gone through again.
class CheckWatch {
  public:
    static constexpr std::chrono::hours counts_for{12};
    /// Where it could not be kept that the check is over.
    static constexpr Milliseconds again_after{60'000};
    static constexpr const char* act = "instrument-check";  // the act, and `what` of the time-out

    /// Every event of the store, in order.
    void saw(const record::Event& event);
    /// How long the check counts still, from 0; none where nothing counts that could run out. Never longer
    /// than `counts_for`, whatever the clock did.
    std::optional<Milliseconds> left(std::chrono::system_clock::time_point now) const;

  private:
    std::optional<std::chrono::system_clock::time_point> passed_;
};

}  // namespace pairmark::bench
