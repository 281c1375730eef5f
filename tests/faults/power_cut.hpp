// When the power goes in a trial: an id that says everything, and the series of a whole trial.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace pairmark::sim {

struct Cut {
    enum class At : char {
        write = 'w',   // `index` counts EEPROM writes of the day, from 1; `offset` cycles into that write
        moment = 'm',  // `index` counts milliseconds of the day; `offset` cycles into that one
        never = 'n',
    };
    At at = At::never;
    uint64_t index = 0;
    uint64_t offset = 0;
    uint64_t second = 0;  // cycles after the power came back: cut again; 0: not
    uint64_t seed = 1;    // how torn bytes read; see below

    /// One seed in four: the supply only sags for 20 ms, and the brown-out detector resets the chip.
    bool is_dip() const { return seed % 4 == 0; }
    /// One seed in four: a reset only, as by the watchdog; what is being written is written on.
    bool is_reset() const { return seed % 4 == 1; }
};

/// As "w123.4567.0.9", and back. Nothing if it is not of that form.
std::string id_of(const Cut& cut);
std::optional<Cut> cut_of(const std::string& id);

/// `count` cuts over a day of so many writes and milliseconds. Six of ten lie in writes, going through all of
/// them in turn as often as the count allows (spread evenly where it does not); the others anywhere. Every
/// other one has a second cut while the adapter recovers.
std::vector<Cut> cut_series(uint64_t count, uint64_t writes, uint64_t milliseconds);

}  // namespace pairmark::sim
