// One trial: a volunteer measures some lenses on the adapter's real firmware while the power is cut at chosen
// cycles.
//
// The volunteer does what people are told to do: waits for the accepted lamp after each measurement, also
// after the power has come back, and measures again if it does not light. The promise: whatever the cut hit,
// every accepted reading is in the host's list exactly once, and nothing else is.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "firmware/sim/eeprom_model.hpp"

namespace pairmark::sim {

constexpr unsigned trial_readings = 3;

/// Says everything about a trial; its text form replays it.
struct Cut {
    uint64_t first = 0;   // cycles after power on; 0: the power is never cut
    uint64_t second = 0;  // cycles after the power came back; 0: no second cut
    uint64_t seed = 1;    // how torn bytes read
};

/// "first.second.seed", and back. Nothing if it is not of that form.
std::string id_of(const Cut& cut);
std::optional<Cut> cut_of(const std::string& id);

/// The cut number `index` of a series over a run of `length` cycles: the first cuts are spread evenly with
/// some jitter, every other one has a second cut while the adapter recovers.
Cut cut_in_series(uint64_t index, uint64_t count, uint64_t length);

struct Outcome {
    std::string broken;   // empty: the promise was kept; else what happened
    uint64_t cycles = 0;  // length of the run
    uint64_t torn = 0;    // EEPROM bytes that the cuts tore
    unsigned again = 0;   // measurements that had to be repeated
};

/// The EEPROM of an adapter that has its id and its profile, took that many readings (45 at most, none of
/// them the trial's) and has nothing to tell any more. Throws std::runtime_error, with what the adapter last
/// said, if the firmware cannot be brought there.
EepromBytes prepared_adapter(const std::string& elf, unsigned readings = 0);

Outcome run_trial(const std::string& elf, const EepromBytes& adapter, const Cut& cut);

}  // namespace pairmark::sim
