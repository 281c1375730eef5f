// The quantities that rules put limits to. Published values: tests/outside/optics_prism.cpp and others.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "host/optics/compare.hpp"
#include "host/optics/power_vector.hpp"
#include "host/optics/rounding.hpp"
#include "host/optics/transpose.hpp"
#include "tests/optics/lenses.hpp"
#include "tests/optics/near.hpp"

using namespace pairmark::optics;
using pairmark::tests::any_lens;
using pairmark::tests::lens;
using pairmark::tests::near;

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
        CHECK(difference_in_any_meridian(a, b) == near(found, 2e-5));
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
              near(difference_in_any_meridian(to_plus_cylinder(b), to_minus_cylinder(a)), 1e-12));
        CHECK(vertical_difference(a, b) ==
              near(vertical_difference(to_plus_cylinder(b), to_minus_cylinder(a)), 1e-12));
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
              near(principal_powers(power).along_axis.value(), 1e-12));
        CHECK(power_in_meridian(power, power.axis + 90) ==
              near(principal_powers(power).across_axis.value(), 1e-12));
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
