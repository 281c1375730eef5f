// The computer's clocks behind the seam.
#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/steady_timer.hpp>
#include <map>

#include "host/bench/timers.hpp"

namespace pairmark::bench {

/// The computer's own clocks.
class ComputerTimers final : public Timers {
  public:
    explicit ComputerTimers(boost::asio::io_context& loop) : loop_(loop) {}
    Milliseconds now() const override;
    std::chrono::system_clock::time_point wall() const override;
    TimerId after(Milliseconds delay, Task task) override;
    void cancel(TimerId id) override;

  private:
    boost::asio::io_context& loop_;
    std::map<TimerId, boost::asio::steady_timer> timers_;
    TimerId next_ = 1;
};

}  // namespace pairmark::bench
