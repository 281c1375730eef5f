#include "host/optics/transpose.hpp"

#include <cmath>

namespace pairmark::optics {

namespace {

Power other_form(const Power& power) {
    return {power.sphere + power.cylinder, -power.cylinder, turned_into_range(power.axis + 90)};
}

Power same_form(const Power& power) {
    const bool has_cylinder = power.cylinder != Dioptre{};
    return {power.sphere, power.cylinder, has_cylinder ? turned_into_range(power.axis) : 0.0};
}

}  // namespace

double turned_into_range(double degrees) {
    // fmod is exact; adding 180 to a tiny negative angle may give 180 itself, which is in range.
    const double turned = std::fmod(degrees, 180.0);
    return turned > 0 ? turned : turned + 180;
}

Power to_minus_cylinder(const Power& power) {
    return power.cylinder > Dioptre{} ? other_form(power) : same_form(power);
}

Power to_plus_cylinder(const Power& power) {
    return power.cylinder < Dioptre{} ? other_form(power) : same_form(power);
}

bool is_without_power(const Power& power) {
    return power.sphere == Dioptre{} && power.cylinder == Dioptre{};
}

}  // namespace pairmark::optics
