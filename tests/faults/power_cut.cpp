#include "tests/faults/power_cut.hpp"

#include <cstdio>

#include "firmware/sim/eeprom_model.hpp"

namespace pairmark::sim {
namespace {

constexpr uint64_t ms = clock_hz / 1000;

/// Well-mixed bits of a number (splitmix64, public domain).
uint64_t mixed(uint64_t x) {
    x += 0x9E3779B97F4A7C15ull;
    x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9ull;
    x = (x ^ (x >> 27)) * 0x94D049BB133111EBull;
    return x ^ (x >> 31);
}

}  // namespace

std::string id_of(const Cut& cut) {
    return static_cast<char>(cut.at) + std::to_string(cut.index) + "." + std::to_string(cut.offset) + "." +
           std::to_string(cut.second) + "." + std::to_string(cut.seed);
}

std::optional<Cut> cut_of(const std::string& id) {
    char at = 0;
    unsigned long long index = 0;
    unsigned long long offset = 0;
    unsigned long long second = 0;
    unsigned long long seed = 0;
    int end = 0;
    if (std::sscanf(id.c_str(), "%c%llu.%llu.%llu.%llu%n", &at, &index, &offset, &second, &seed, &end) != 5 ||
        static_cast<size_t>(end) != id.size() || (at != 'w' && at != 'm'))
        return std::nullopt;
    return Cut{static_cast<Cut::At>(at), index, offset, second, seed};
}

std::vector<Cut> cut_series(uint64_t count, uint64_t writes, uint64_t milliseconds) {
    std::vector<Cut> series;
    const uint64_t at_writes = count * 6 / 10;
    for (uint64_t i = 0; i < count; ++i) {
        Cut cut;
        if (i < at_writes) {
            cut.at = Cut::At::write;
            cut.index = 1 + (at_writes < writes ? i * writes / at_writes : i % writes);
            cut.offset = 1 + mixed(i) % (eeprom_write_cycles - 1);
        } else {
            cut.at = Cut::At::moment;
            cut.index = mixed(i) % milliseconds;
            cut.offset = 1 + mixed(i + count) % (ms - 1);
        }
        // Where each write has its turn more than once, the turns differ in this too.
        const uint64_t turn = i < at_writes ? i / writes : 0;
        if ((i + turn) % 2 == 1) cut.second = 1 + mixed(i + 2 * count) % (900 * ms);
        cut.seed = 1 + mixed(~i) % 1'000'000;
        series.push_back(cut);
    }
    return series;
}

}  // namespace pairmark::sim
