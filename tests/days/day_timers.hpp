// A process's clock in a simulated day: time goes on when the day says so, and the wall clock may be set.
#pragma once

#include "host/bench/timers.hpp"

namespace pairmark::days {

using bench::Milliseconds;

/// One for each life of a daemon: what a killed one waited for never comes.
class DayTimers final : public bench::Timers {
  public:
    using Moment = std::chrono::system_clock::time_point;
    /// `shift` is looked at whenever somebody asks for the time; it must outlive this.
    DayTimers(Moment start, const Milliseconds& shift) : stepped_(start), shift_(shift) {}
    Milliseconds now() const override { return stepped_.now(); }
    Moment wall() const override { return stepped_.wall() + shift_; }
    bench::TimerId after(Milliseconds delay, Task task) override {
        return stepped_.after(delay, std::move(task));
    }
    void cancel(bench::TimerId id) override { stepped_.cancel(id); }

    void advance(Milliseconds to) { stepped_.advance(to); }
    std::optional<Milliseconds> next_due() const { return stepped_.next_due(); }

  private:
    bench::SteppedTimers stepped_;
    const Milliseconds& shift_;
};

}  // namespace pairmark::days
