// Time as the bench sees it. The seam behind which the computer's clock, a simulated board's or a test's
// stands.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <string>

namespace pairmark::bench {

using Milliseconds = std::chrono::milliseconds;
using TimerId = std::uint64_t;

class Timers {
  public:
    using Task = std::function<void()>;
    virtual ~Timers() = default;
    /// Monotonic, from an origin of its own.
    virtual Milliseconds now() const = 0;
    /// The wall clock: for dates on labels and for telling people when. Never measures a time-out.
    virtual std::chrono::system_clock::time_point wall() const = 0;
    /// Runs `task` once, on the event loop, when `delay` has passed.
    virtual TimerId after(Milliseconds delay, Task task) = 0;
    /// The task will not run any more. Unknown and spent ids are ignored.
    virtual void cancel(TimerId id) = 0;
};

/// Time that stands still until it is told to go on.
class SteppedTimers final : public Timers {
  public:
    /// `start`: what the wall clock shows at time 0.
    explicit SteppedTimers(std::chrono::system_clock::time_point start) : start_(start) {}
    Milliseconds now() const override { return now_; }
    std::chrono::system_clock::time_point wall() const override { return start_ + now_; }
    TimerId after(Milliseconds delay, Task task) override;
    void cancel(TimerId id) override { tasks_.erase(id); }

    /// Moves to `to` (never back) and runs what is due, in the order of its time.
    void advance(Milliseconds to);
    /// When the earliest task is due.
    std::optional<Milliseconds> next_due() const;

  private:
    struct Pending {
        Milliseconds due;
        Task task;
    };
    std::chrono::system_clock::time_point start_;
    Milliseconds now_{0};
    std::map<TimerId, Pending> tasks_;
    TimerId next_ = 1;
};

/// "2026-11-24T22:50:00.123Z"
std::string utc_text(std::chrono::system_clock::time_point time);
/// The moment that such a text names; none if it is no such text.
std::optional<std::chrono::system_clock::time_point> moment_of(const std::string& utc);
/// The calendar day where this computer is, "2026-11-24".
std::string local_date(std::chrono::system_clock::time_point time);

}  // namespace pairmark::bench
