// The demo's hands and eyes at the simulated board: its lamps, its keys, and the instrument's serial line.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "demo/volunteer.hpp"

namespace pairmark::demo {

class BoardClient {
  public:
    /// Joins the board at `socket` and opens the instrument's line. Waits up to 10 s for the board to be
    /// there. Throws std::runtime_error.
    BoardClient(const std::string& socket, const std::string& instrument_port, bool timed);
    ~BoardClient();
    BoardClient(const BoardClient&) = delete;
    BoardClient& operator=(const BoardClient&) = delete;

    int descriptor() const { return socket_; }
    /// Ticks that have come, without waiting. Throws std::runtime_error if the board is gone.
    std::vector<Tick> ticks();
    void send(const std::string& line);
    void print(const std::string& bytes);
    /// In fast time: this side has done what it wanted to at the last tick.
    void idle(std::int64_t wake_us);

  private:
    int socket_ = -1;
    int instrument_ = -1;
    std::uint64_t printed_ = 0;
    std::string partial_;
};

}  // namespace pairmark::demo
