// The quantities that rules put limits to.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "host/optics/compare.hpp"
#include "host/optics/power_vector.hpp"
#include "host/optics/rounding.hpp"
#include "host/optics/transpose.hpp"
#include "tests/optics/lenses.hpp"

using namespace pairmark::optics;
using pairmark::tests::any_lens;
using pairmark::tests::lens;

TEST_CASE(
    "Spherical equivalents: T19 (Community Eye Health 30(98):33, 2017), T20 (knowt.com lecture notes)") {
    CHECK(spherical_equivalent(lens(+2.00, -1.00, 90)) == 1.50);
    CHECK(spherical_equivalent(lens(-3.00, -1.50, 180)) == -3.75);
}

TEST_CASE(
    "The vertical powers of a published pair differ by 2.00 D (P6, McCarthy, Back to basics in dispensing "
    "8)") {
    const Power right = lens(+2.00, -1.75, 180);
    const Power left = lens(+2.75, -1.00, 135);
    CHECK(power_in_meridian(right, 90) == Approx(0.25).margin(1e-12));
    CHECK(power_in_meridian(left, 90) == Approx(2.25).margin(1e-12));
    CHECK(vertical_difference(right, left) == Approx(2.00).margin(1e-12));
    // Ten millimetres below the optical centres: 2.0 prism dioptres, as printed there (Prentice, P1).
    CHECK(vertical_difference(right, left) * 10 / 10 == Approx(2.0).margin(1e-12));
}

TEST_CASE("The largest difference in any meridian is what a search through all meridians finds") {
    pairmark::tests::Random random(6);
    for (int i = 0; i < 300; ++i) {
        const Power a = any_lens(random);
        const Power b = any_lens(random);
        double found = 0;
        for (int tenth = 0; tenth < 1800; ++tenth) {
            const double meridian = tenth / 10.0;
            found =
                std::max(found, std::abs(power_in_meridian(a, meridian) - power_in_meridian(b, meridian)));
        }
        CAPTURE(a.sphere.value(), a.cylinder.value(), a.axis, b.sphere.value(), b.cylinder.value(), b.axis);
        // Half a grid step of 0.05 degrees can hide at most C (0.05 deg in radians)^2 of a combined cylinder
        // below 16 D.
        CHECK(difference_in_any_meridian(a, b) == Approx(found).margin(2e-5));
        CHECK(difference_in_any_meridian(a, b) >= difference_of_equivalents(a, b) - dust);
        CHECK(difference_in_any_meridian(a, b) >= vertical_difference(a, b) - dust);
    }
}

TEST_CASE("The three differences depend neither on the order of the lenses nor on the cylinder form") {
    pairmark::tests::Random random(7);
    for (int i = 0; i < 5'000; ++i) {
        const Power a = any_lens(random);
        const Power b = any_lens(random);
        CHECK(difference_of_equivalents(a, b) ==
              difference_of_equivalents(to_plus_cylinder(b), to_minus_cylinder(a)));
        CHECK(difference_in_any_meridian(a, b) ==
              Approx(difference_in_any_meridian(to_plus_cylinder(b), to_minus_cylinder(a))).margin(1e-12));
        CHECK(vertical_difference(a, b) ==
              Approx(vertical_difference(to_plus_cylinder(b), to_minus_cylinder(a))).margin(1e-12));
        CHECK(difference_of_spheres(a, b) ==
              difference_of_spheres(to_plus_cylinder(b), to_minus_cylinder(a)));
    }
}

TEST_CASE("The difference of spheres is that of the minus forms, and the plus forms give another") {
    const Power a = lens(+1.00, -2.00, 90);
    const Power b = lens(+1.00, 0, 0);
    CHECK(difference_of_spheres(a, b) == Dioptre{});
    CHECK(to_plus_cylinder(b).sphere - to_plus_cylinder(a).sphere == Dioptre::hundredths(200));
}

TEST_CASE("The principal meridians bound every meridian of a lens") {
    pairmark::tests::Random random(8);
    for (int i = 0; i < 2'000; ++i) {
        const Power power = any_lens(random);
        CAPTURE(power.sphere.value(), power.cylinder.value(), power.axis);
        CHECK(power_in_meridian(power, power.axis) ==
              Approx(principal_powers(power).along_axis.value()).margin(1e-12));
        CHECK(power_in_meridian(power, power.axis + 90) ==
              Approx(principal_powers(power).across_axis.value()).margin(1e-12));
        for (int meridian = 0; meridian < 180; meridian += 7) {
            const double here = power_in_meridian(power, meridian);
            CHECK(here <= largest_meridian(power).value() + dust);
            CHECK(here >= smallest_meridian(power).value() - dust);
            CHECK(std::abs(here) <= strongest_power(power).value() + dust);
        }
    }
    CHECK(strongest_power(lens(0, 0, 0)) == Dioptre{});
    CHECK(strongest_power(lens(+1.00, -3.00, 20)) == Dioptre::hundredths(200));
    CHECK(is_without_power(lens(0, 0, 0)));
    CHECK_FALSE(is_without_power(lens(+1.00, -1.00, 90)));
}

TEST_CASE("A value that equals its limit on paper is neither over nor under it, whatever the axes") {
    // Both lenses have the same cylinder and axis, so the root is zero on paper and dust in floating point;
    // or the cylinders stand crossed, and the difference is the whole cylinder.
    for (int axis = 1; axis <= 180; ++axis) {
        for (int quarters = 1; quarters <= 40; ++quarters) {
            const double cylinder = -0.25 * quarters;
            CAPTURE(axis, cylinder);
            const double same =
                difference_in_any_meridian(lens(+1.00, cylinder, axis), lens(0.00, cylinder, axis));
            CHECK_FALSE(is_over(same, 1.00));
            CHECK_FALSE(is_under(same, 1.00));
            const double crossed = difference_in_any_meridian(
                lens(0, cylinder, axis), lens(0, cylinder, turned_into_range(axis + 90)));
            CHECK_FALSE(is_over(crossed, -cylinder));
            CHECK_FALSE(is_under(crossed, -cylinder));
        }
    }
    CHECK(is_over(1.000001, 1.00));
    CHECK(is_under(0.999999, 1.00));
}
