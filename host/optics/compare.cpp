#include "host/optics/compare.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "host/optics/power_vector.hpp"
#include "host/optics/transpose.hpp"

namespace pairmark::optics {

namespace {

std::int64_t doubled_equivalent(const Power& power) {
    return 2 * power.sphere.in_millionths() + power.cylinder.in_millionths();
}

constexpr double half_millionths = 2e6;

}  // namespace

PrincipalPowers principal_powers(const Power& power) {
    return {power.sphere, power.sphere + power.cylinder};
}

Dioptre largest_meridian(const Power& power) {
    const PrincipalPowers principal = principal_powers(power);
    return std::max(principal.along_axis, principal.across_axis);
}

Dioptre smallest_meridian(const Power& power) {
    const PrincipalPowers principal = principal_powers(power);
    return std::min(principal.along_axis, principal.across_axis);
}

Dioptre strongest_power(const Power& power) {
    return std::max(size_of(largest_meridian(power)), size_of(smallest_meridian(power)));
}

double spherical_equivalent(const Power& power) {
    return static_cast<double>(doubled_equivalent(power)) / half_millionths;
}

double difference_of_equivalents(const Power& a, const Power& b) {
    return static_cast<double>(std::abs(doubled_equivalent(a) - doubled_equivalent(b))) / half_millionths;
}

double difference_in_any_meridian(const Power& a, const Power& b) {
    const PowerVector difference = to_vector(a) - to_vector(b);
    return difference_of_equivalents(a, b) + std::hypot(difference.j0, difference.j45);
}

double vertical_difference(const Power& a, const Power& b) {
    return std::abs(to_matrix(a).f22 - to_matrix(b).f22);
}

Dioptre difference_of_spheres(const Power& a, const Power& b) {
    return size_of(to_minus_cylinder(a).sphere - to_minus_cylinder(b).sphere);
}

}  // namespace pairmark::optics
