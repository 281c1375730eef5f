// What of one lens, and between two lenses, a rule may put a limit to. All in dioptres.
//
// Exactness. Sums and differences of spheres and cylinders are formed in whole millionths and turned into a
// double once, so 1.00 is 1.0. Where a sine or a root enters, the last bits are dust: compare such a value
// with a limit only through is_over and is_under below, which take anything within a thousandth of a
// millionth of the limit for the limit itself. (For the exact quantities that changes nothing: their
// neighbours are half a millionth away.)
#pragma once

#include "host/optics/power.hpp"

namespace pairmark::optics {

constexpr double dust = 1e-9;  // D

/// Strictly over, strictly under; "at least" is not under, "at most" is not over.
constexpr bool is_over(double value, double limit) {
    return value > limit + dust;
}
constexpr bool is_under(double value, double limit) {
    return value < limit - dust;
}

/// The powers of the two principal meridians; `along_axis` is the sphere of the given form.
struct PrincipalPowers {
    Dioptre along_axis;
    Dioptre across_axis;
};
PrincipalPowers principal_powers(const Power& power);

Dioptre largest_meridian(const Power& power);   // the most plus
Dioptre smallest_meridian(const Power& power);  // the most minus
/// The larger of the two meridians' sizes, never below 0; 0 is a lens without power.
Dioptre strongest_power(const Power& power);

/// Sphere + cylinder / 2. Exact: half a millionth fits a double.
double spherical_equivalent(const Power& power);

/// |M1 - M2|.
double difference_of_equivalents(const Power& a, const Power& b);
/// The largest difference that any one meridian shows: |dM| + sqrt(dJ0^2 + dJ45^2).
double difference_in_any_meridian(const Power& a, const Power& b);
/// In the vertical meridian, which decides about vertical imbalance: |df22|.
double vertical_difference(const Power& a, const Power& b);
/// Between the spheres of the minus forms. Depends on the form chosen: the plus forms give another number.
Dioptre difference_of_spheres(const Power& a, const Power& b);

}  // namespace pairmark::optics
