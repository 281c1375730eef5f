// Properties of the sum and the difference of lenses. Published values:
// tests/outside/optics_crossed_cylinders.cpp.
#include "host/optics/crossed_cylinders.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "host/optics/compare.hpp"
#include "host/optics/power_vector.hpp"
#include "host/optics/transpose.hpp"
#include "tests/optics/lenses.hpp"
#include "tests/optics/matrix_by_hand.hpp"
#include "tests/optics/near.hpp"

using namespace pairmark::optics;
using pairmark::tests::any_lens;
using pairmark::tests::lens;
using pairmark::tests::lens_by_hand;
using pairmark::tests::matrix_by_hand;
using pairmark::tests::near;
using pairmark::tests::PlainLens;

namespace {

/// Two lenses count as one where no meridian tells them apart: a tiny cylinder may stand at any axis.
void check_same(const Power& a, const Power& b, double margin) {
    CAPTURE(a.sphere.value(), a.cylinder.value(), a.axis, b.sphere.value(), b.cylinder.value(), b.axis);
    CHECK(difference_in_any_meridian(a, b) <= margin);
}

// Sphere and cylinder of a sum are rounded to the millionth, the axis to the millionth of a degree.
constexpr double one_rounding = 2e-6;

}  // namespace

TEST_CASE("The order in which two lenses are laid on each other makes no difference") {
    pairmark::tests::Random random(21);
    for (int i = 0; i < 10'000; ++i) {
        const Power a = any_lens(random);
        const Power b = any_lens(random);
        CHECK(sum_of(a, b) == sum_of(b, a));
    }
}

TEST_CASE("Three lenses make the same lens whichever two are laid on each other first") {
    pairmark::tests::Random random(22);
    for (int i = 0; i < 5'000; ++i) {
        const Power a = any_lens(random);
        const Power b = any_lens(random);
        const Power c = any_lens(random);
        check_same(sum_of(sum_of(a, b), c), sum_of(a, sum_of(b, c)), 4 * one_rounding);
    }
}

TEST_CASE("The difference of two lenses laid on the second makes the first") {
    pairmark::tests::Random random(23);
    for (int i = 0; i < 5'000; ++i) {
        const Power a = any_lens(random);
        const Power b = any_lens(random);
        check_same(sum_of(difference_of(a, b), b), a, 2 * one_rounding);
        check_same(difference_of(sum_of(a, b), b), a, 2 * one_rounding);
        CHECK(difference_of(a, a) == lens(0, 0, 0));
    }
}

TEST_CASE("In every meridian the powers of the two lenses add up") {
    pairmark::tests::Random random(24);
    for (int i = 0; i < 2'000; ++i) {
        const Power a = any_lens(random);
        const Power b = any_lens(random);
        const Power sum = sum_of(a, b);
        for (int meridian = 0; meridian < 180; meridian += 10) {
            CHECK(power_in_meridian(sum, meridian) ==
                  near(power_in_meridian(a, meridian) + power_in_meridian(b, meridian), one_rounding));
        }
    }
}

TEST_CASE("Sums are what adding 2x2 matrices gives, back through the characteristic polynomial") {
    pairmark::tests::Random random(25);
    for (int i = 0; i < 5'000; ++i) {
        const Power a = any_lens(random);
        const Power b = any_lens(random);
        const PlainLens by_hand = lens_by_hand(matrix_by_hand(a) + matrix_by_hand(b));
        const Power sum = sum_of(a, b);
        CAPTURE(a.sphere.value(), a.cylinder.value(), a.axis, b.sphere.value(), b.cylinder.value(), b.axis);
        // The root of nearly equal powers costs that way half its digits.
        CHECK(sum.sphere.value() == near(by_hand.sphere, 2e-6));
        CHECK(sum.cylinder.value() == near(by_hand.cylinder, 4e-6));
        if (sum.cylinder < Dioptre::hundredths(-10)) {
            const double apart = std::remainder(sum.axis - by_hand.axis, 180);
            CHECK(apart == near(0, 2e-6));
        }
    }
}

TEST_CASE("Sums are exact where the axes are the same or at right angles, and where a lens is a sphere") {
    pairmark::tests::Random random(26);
    for (int i = 0; i < 10'000; ++i) {
        const Power a = to_minus_cylinder(any_lens(random));
        Power b = to_minus_cylinder(any_lens(random));
        if (a.cylinder == Dioptre{} || b.cylinder == Dioptre{}) continue;
        b.axis = a.axis;
        CAPTURE(a.sphere.value(), a.cylinder.value(), a.axis, b.sphere.value(), b.cylinder.value());
        CHECK(sum_of(a, b) == Power{a.sphere + b.sphere, a.cylinder + b.cylinder, a.axis});
        // Turned by a right angle its sphere and cylinder change places: add the two along a's axis.
        b.axis = turned_into_range(a.axis + 90);
        const Power crossed{a.sphere + b.sphere + b.cylinder, a.cylinder - b.cylinder, a.axis};
        CHECK(sum_of(a, b) == to_minus_cylinder(crossed));
        const Power sphere{b.sphere, Dioptre{}, 0};
        CHECK(sum_of(a, sphere) == Power{a.sphere + b.sphere, a.cylinder, a.axis});
    }
}

TEST_CASE("A lens and its opposite leave nothing, without a stray axis or a minus zero") {
    pairmark::tests::Random random(27);
    for (int i = 0; i < 5'000; ++i) {
        const Power a = any_lens(random);
        const Power opposite{-a.sphere, -a.cylinder, a.axis};
        const Power none = sum_of(a, opposite);
        CHECK(none == lens(0, 0, 0));
        CHECK_FALSE(std::signbit(none.sphere.value()));
        CHECK_FALSE(std::signbit(none.cylinder.value()));
        CHECK_FALSE(std::signbit(none.axis));
    }
}
