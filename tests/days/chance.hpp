// Chance that comes from a seed, so that a day can be played again.
#pragma once

#include <cstdint>

namespace pairmark::days {

class Chance {
  public:
    /// `stream`: each part of a day draws from a stream of its own, so that one that draws more often does
    /// not change what another meets.
    Chance(std::uint64_t seed, std::uint64_t stream) : state_(mixed(mixed(seed + 1) + stream)) {}
    /// Steele, Lea and Flood's splitmix64.
    std::uint64_t next() { return mixed(state_ += 0x9E3779B97F4A7C15U); }
    /// 0 to n - 1; n from 1.
    unsigned below(unsigned n) { return static_cast<unsigned>(next() % n); }
    unsigned between(unsigned least, unsigned most) { return least + below(most - least + 1); }
    bool one_in(unsigned n) { return below(n) == 0; }

  private:
    static std::uint64_t mixed(std::uint64_t z) {
        z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9U;
        z = (z ^ (z >> 27U)) * 0x94D049BB133111EBU;
        return z ^ (z >> 31U);
    }
    std::uint64_t state_;
};

}  // namespace pairmark::days
