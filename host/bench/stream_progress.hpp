// How far the stream to the adapter is: for a simulated board, whose time stands still until the host has
// done everything.
#pragma once

#include <cstdint>

namespace pairmark::bench {

/// Bytes since the daemon's start, over all ports that it opened. `settled`: nothing waits to be written.
struct StreamProgress {
    std::uint64_t read = 0;
    std::uint64_t written = 0;
    bool settled = true;
    bool open = false;
};

}  // namespace pairmark::bench
