// Whose time it is: real time in slices of a millisecond, or the simulator's own, shared in lock step.
#pragma once

#include <cstdint>
#include <functional>
#include <string>

#include "firmware/sim/board.hpp"
#include "firmware/sim/clients.hpp"
#include "firmware/sim/pty_port.hpp"

namespace pairmark::sim {

class Timekeeper {
  public:
    /// `save` is called for a client's line of that name. All must outlive this object.
    Timekeeper(Board& board, PtyPort& host, PtyPort& instrument, Clients& clients,
               std::function<void()> save);
    ~Timekeeper();
    Timekeeper(const Timekeeper&) = delete;
    Timekeeper& operator=(const Timekeeper&) = delete;

    /// Runs until `ends` becomes readable. Board time follows the monotonic clock in slices of 1 ms; after a
    /// pause of the whole computer it goes on from there and does not catch up.
    void run_real_time(int ends);

    /// Runs until `ends` becomes readable. Time stands still until `expected` clients have joined, and
    /// whenever a timed client owes its idle line; between those moments it goes as fast as it can. Once a
    /// client was timed, or one was expected, time without any timed client stands still as well.
    void run_fast(int ends, unsigned expected);

  private:
    struct Shown {
        uint8_t lamps;
        uint32_t tone;
        BoardState state;
        bool operator==(const Shown&) const = default;
    };
    void obey(Client& client, const ClientLine& line);
    void take_idle(Client& client, const ClientLine& line);
    void forget(Client& client);
    void flush();
    Shown look() const;
    void watch_pins();
    bool time_may_go(unsigned expected) const;
    uint64_t next_stop() const;
    bool tick_is_due() const;
    void tell_timed();
    void tell_watchers(bool everybody);
    std::string tick_line() const;
    UartModel* port_of(const Client& client, PtyPort** pty);

    Board& board_;
    PtyPort& host_;
    PtyPort& instrument_;
    Clients& clients_;
    std::function<void()> save_;
    std::string host_out_;
    std::string instrument_out_;
    bool fast_ = false;
    bool was_timed_ = false;
    unsigned joined_ = 0;
    bool line_sent_ = false;  // since the last tick
    bool company_changed_ = false;
    uint64_t settles_at_ = never;  // cycle at which a change of lamps or tone is looked at
    uint64_t last_tick_ = 0;       // cycle
    Shown shown_{};
};

}  // namespace pairmark::sim
