// A day at the bench on the adapter's real firmware, with somebody pulling the plug.
//
// The volunteer does what people are told to do: waits for the accepted lamp after each measurement and each
// key press, also after the power has come back, and does it again if the lamp does not light. A lamp counts
// as seen when it was lit for a tenth of a second; turning the spectacles takes a third of one. On the screen
// the volunteer answers "the same pair" after a restart and releases a pair that is held.
//
// The day is played once. At each cut the process is forked: the child loses its power there, finishes what
// the volunteer has in hand and the next thing, and looks what the computer holds.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "firmware/sim/eeprom_model.hpp"
#include "tests/faults/power_cut.hpp"

namespace pairmark::sim {

/// What the day begins with.
enum class Memory : uint8_t {
    blank,  // nothing was ever written: the adapter gets its id and profile first
    used,   // all slots were written: each new record overwrites an old one
};

struct Promise {
    std::string broken;  // empty: kept; else what happened
    uint64_t torn = 0;   // EEPROM bytes that the cuts tore
    unsigned again = 0;  // measurements and key presses that had to be repeated
};

struct Broken {
    std::string id;  // replays it: see replay_cut
    std::string what;
};

struct Series {
    Promise whole;               // of the day without a cut
    uint64_t writes = 0;         // EEPROM writes of that day
    uint64_t milliseconds = 0;   // its length
    unsigned readings = 0;       // accepted on that day
    uint64_t tried = 0;          // cuts
    uint64_t torn = 0;           // bytes torn by all of them
    uint64_t again = 0;          // repeated by all of them
    std::vector<Broken> broken;  // the cuts that broke the promise
};

/// The EEPROM of an adapter of which every slot was written, with its id and profile and nothing to tell.
/// Throws std::runtime_error if the firmware cannot be brought there.
EepromBytes used_memory(const std::string& elf);

/// Plays the day, and so many cuts of it.
Series try_cuts(const std::string& elf, Memory memory, uint64_t count);

/// One cut again, in this process.
Promise replay_cut(const std::string& elf, Memory memory, const Cut& cut);

}  // namespace pairmark::sim
