// Lenses for tests: by their three numbers, and any at all from a seed.
#pragma once

#include <random>

#include "host/optics/power.hpp"

namespace pairmark::tests {

inline optics::Power lens(double sphere, double cylinder, double axis) {
    return {optics::Dioptre::nearest(sphere), optics::Dioptre::nearest(cylinder), axis};
}

using Random = std::mt19937;

inline int any_whole(Random& random, int from, int to) {
    // Not uniform_int_distribution, whose numbers differ between libraries; the small bias does not matter
    // here.
    return from + static_cast<int>(random() % static_cast<unsigned>(to - from + 1));
}

/// Either cylinder form, in hundredths, eighths or sixteenths, with axes in half degrees from 0.5 to 180.
inline optics::Power any_lens(Random& random) {
    constexpr int steps[] = {10'000, 125'000, 62'500, 250'000};
    const int step = steps[any_whole(random, 0, 3)];
    const int sphere = any_whole(random, -20'000'000 / step, 20'000'000 / step) * step;
    const int cylinder = any_whole(random, -8'000'000 / step, 8'000'000 / step) * step;
    const double axis = any_whole(random, 1, 360) / 2.0;
    return {optics::Dioptre::millionths(sphere), optics::Dioptre::millionths(cylinder), axis};
}

}  // namespace pairmark::tests
