// The demo's volunteer: works through the script by what the adapter's lamps show, as a person at the bench
// does.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "demo/script.hpp"

namespace pairmark::demo {

/// What can be seen of the board at one moment.
struct Tick {
    std::int64_t us = 0;  // board time
    std::string lamps;    // '0' or '1' a place: keep, discard, ask, accepted, refused, host absent, memory
                          // full, printer
    bool running = true;
};

/// What the volunteer does now.
struct Deed {
    std::string instrument_bytes;    // the instrument prints these
    std::vector<std::string> board;  // lines for the board: keys
    std::vector<std::string> say;    // sentences of the scenario
};

class Volunteer {
  public:
    /// `pause_us`: between two acts.
    Volunteer(Script script, std::int64_t pause_us) : script_(std::move(script)), pause_us_(pause_us) {}

    /// Looks at the lamps and acts. Nothing is done before `ready` (the daemon says that adapter and profile
    /// are in order).
    Deed see(const Tick& tick, bool ready);
    /// When to look again at the latest, even if no lamp changes.
    std::int64_t wake_us() const { return wake_us_; }
    bool finished() const { return next_ == script_.acts.size() && state_ == State::idle; }
    std::int64_t accepted() const { return accepted_; }
    std::int64_t refused() const { return refused_; }
    /// Why the volunteer cannot go on; empty while all is well.
    const std::string& stuck() const { return stuck_; }

  private:
    // idle: between acts. waiting: measured, no cue yet. cued: waits until the lamp is out again, so that the
    // next cue is seen as a new one. pressing: a key is down.
    enum class State { idle, waiting, cued, pressing };
    void begin_next(std::int64_t now, Deed& deed);

    Script script_;
    std::int64_t pause_us_;
    std::size_t next_ = 0;
    State state_ = State::idle;
    std::string key_;
    std::int64_t since_us_ = 0;
    std::int64_t wake_us_ = 0;
    std::int64_t dark_since_us_ = -1;  // neither lamp is lit since then; -1: one is
    std::int64_t accepted_ = 0;
    std::int64_t refused_ = 0;
    std::string stuck_;
};

}  // namespace pairmark::demo
