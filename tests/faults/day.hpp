// The day of day_trial.hpp itself: board, computer, volunteer, plug.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "firmware/sim/board.hpp"
#include "tests/faults/day_trial.hpp"
#include "tests/faults/host_model.hpp"
#include "tests/faults/pairing_host.hpp"

namespace pairmark::sim {

class Day {
  public:
    Day(const std::string& elf, const EepromBytes& cells);

    /// To its end, or, once the power was lost, to the end of the next thing to do.
    Promise play();

    /// Told at each EEPROM write that begins and at each millisecond, before any of it.
    std::function<void(Cut::At, uint64_t index)> on_place;
    /// From `on_place`: the power goes, in the way that `cut` says.
    void lose_power(const Cut& cut);

    uint64_t writes() const { return writes_; }
    uint64_t milliseconds() const { return milliseconds_; }
    unsigned readings() const { return pairing_.readings(); }

  private:
    enum class Job : uint8_t {
        pair,      // right, left
        replaced,  // right, right again, left
        undone,    // right, the undo key, then a pair
        aside,     // right, the set-aside key
        nonsense,  // the instrument prints what is no reading
        go_on,     // the go-on key
        restart,   // off and on again
        profile,   // the technician changes the profile
        half,      // right, and the day is over
    };
    static const std::vector<Job> jobs;

    bool run(Job job);
    bool measure_pair();
    bool measure(unsigned lens);
    bool press(BoardKey key, protocol::Key told);
    /// Does it again and again until the accepted lamp was seen.
    bool until_accepted(const std::function<void()>& act);
    bool get_ready();
    bool look_at_screen();

    enum class Went : uint8_t { done, late, cut };
    Went wait(const std::function<bool()>& done, uint64_t patience_ms);
    void pass_millisecond();
    void power_goes();
    void watch_lamp();
    bool fail(const std::string& what);
    void compare();

    Board board_;
    HostModel host_;
    PairingHost pairing_;
    Promise promise_;
    std::map<unsigned, unsigned> accepted_;  // by lens: how often its lamp was seen
    std::map<protocol::Key, unsigned> pressed_;
    unsigned next_lens_ = 0;
    uint64_t writes_ = 0;
    uint64_t milliseconds_ = 0;
    uint64_t end_of_millisecond_ = 0;
    Cut cut_;
    uint64_t cut_at_ = UINT64_MAX;
    bool lost_power_ = false;
    unsigned cuts_ = 0;
    uint64_t lit_since_ = 0;
    bool lit_ = false;
    bool seen_ = false;  // of the lighting that goes on now
    unsigned cues_ = 0;
    bool fast_profile_ = false;
};

}  // namespace pairmark::sim
