// The lines that clients of the simulated board write. Trust: any program of the same user may write
// anything; a line that is not understood is refused by name and changes nothing.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "firmware/sim/pins.hpp"

namespace pairmark::sim {

constexpr uint64_t never = UINT64_MAX;

struct ClientLine {
    enum class Kind : uint8_t { join, key, power_cut, power_on, reset, save, idle };
    Kind kind = Kind::idle;
    std::string name;    // join
    bool timed = false;  // join
    BoardKey key = BoardKey::go_on;
    bool down = false;         // key
    uint64_t wrote = 0;        // idle: bytes
    uint64_t wake_us = never;  // idle: board time
};

/// Reads one line, without its line end. Nothing, with the reason in `why`, if it is not one of the known.
std::optional<ClientLine> read_client_line(std::string_view text, std::string& why);

}  // namespace pairmark::sim
