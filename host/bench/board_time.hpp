// The daemon's clock, led by a simulated board: for the demo and for trials, where time may run faster than a
// clock and stands still while the host owes an answer.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <string>

#include "host/bench/stream_progress.hpp"
#include "host/bench/timers.hpp"

namespace boost::asio {
class io_context;
}

namespace pairmark::bench {

class BoardTime {
  public:
    /// Joins the board at the socket `path`. Throws std::runtime_error, with the next step, if nothing
    /// answers there.
    BoardTime(boost::asio::io_context& loop, const std::string& path, SteppedTimers& timers,
              std::function<StreamProgress()> progress);
    ~BoardTime();
    /// Runs the loop in place of io_context::run: at each tick of the board the timers go on, what the board
    /// sent is read, and when nothing is left to do the board is told so. Returns when the loop is stopped or
    /// the board is gone.
    void run();

  private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace pairmark::bench
