// Spectacles as they are, and what a lens meter shows of them. Made, from a seed; no real readings.
#pragma once

#include <cmath>
#include <cstdint>

#include "host/optics/rounding.hpp"
#include "host/optics/transpose.hpp"
#include "host/record/reading.hpp"

namespace pairmark::slips {

using optics::Dioptre;
using optics::Power;
using record::Eye;

/// The same numbers everywhere from the same seed (splitmix64).
class Chance {
  public:
    explicit Chance(std::uint64_t seed) : state_(seed) {}
    /// least to most, both included.
    int between(int least, int most) {
        state_ += 0x9E3779B97F4A7C15ULL;
        std::uint64_t mixed = state_;
        mixed = (mixed ^ (mixed >> 30)) * 0xBF58476D1CE4E5B9ULL;
        mixed = (mixed ^ (mixed >> 27)) * 0x94D049BB133111EBULL;
        mixed ^= mixed >> 31;
        return least + static_cast<int>(mixed % static_cast<std::uint64_t>(most - least + 1));
    }

  private:
    std::uint64_t state_;
};

/// Unrounded, in minus cylinder.
struct Spectacles {
    Power right;
    Power left;
    Dioptre addition;  // of a progressive; 0: single vision
    const Power& lens(Eye eye) const { return eye == Eye::right ? right : left; }
};

/// Usable pairs, as they lie in a bag that was looked over: lenses much alike, both with some power. One lens
/// in four is a sphere.
inline Spectacles any_spectacles(Chance& chance) {
    const auto lens = [&chance](int sphere) {
        const int cylinder = chance.between(0, 3) == 0 ? 0 : -chance.between(13, 190);
        return Power{Dioptre::hundredths(sphere), Dioptre::hundredths(cylinder),
                     cylinder == 0 ? 0.0 : static_cast<double>(chance.between(1, 180))};
    };
    const int side = chance.between(0, 1) == 0 ? -1 : 1;
    const int sphere = side * chance.between(100, 600);
    return {lens(sphere), lens(sphere + chance.between(-40, 40)), {}};
}

/// What an instrument that counts in `step` shows of a lens.
inline Power shown(const Power& lens, Dioptre step = optics::label_step) {
    return optics::on_label(lens, step);
}

/// The lens as it is read from the wrong side: seen in a mirror, and a plus lens a little weaker (its front
/// vertex power; 5 mm thick at index 1.5).
inline Power from_the_front(const Power& lens) {
    const auto weaker = [](Dioptre power) {
        const double strong = power.value() > 0 ? power.value() * power.value() * 0.005 / 1.5 : 0;
        return Dioptre::nearest(power.value() - strong);
    };
    const Dioptre along = weaker(lens.sphere);
    const Dioptre across = weaker(lens.sphere + lens.cylinder);
    if (lens.cylinder == Dioptre()) return {along, {}, 0};
    return {along, across - along, optics::turned_into_range(180 - lens.axis)};
}

}  // namespace pairmark::slips
