// Properties of transposition. Published worked examples: tests/outside/optics_transposition.cpp.
#include <catch2/catch.hpp>

#include "host/optics/power_vector.hpp"
#include "host/optics/transpose.hpp"
#include "tests/optics/lenses.hpp"
#include "tests/optics/near.hpp"

using namespace pairmark::optics;
using pairmark::tests::any_lens;
using pairmark::tests::lens;
using pairmark::tests::near;

TEST_CASE("A lens that is in the wanted form already stays as it is") {
    CHECK(to_minus_cylinder(lens(-1.00, -2.00, 120)) == lens(-1.00, -2.00, 120));
    CHECK(to_plus_cylinder(lens(-3.00, +2.00, 30)) == lens(-3.00, +2.00, 30));
}

TEST_CASE("Without a cylinder the axis that was given is dropped") {
    CHECK(to_minus_cylinder(lens(+1.25, 0, 77)) == lens(+1.25, 0, 0));
    CHECK(to_plus_cylinder(lens(+1.25, 0, 180)) == lens(+1.25, 0, 0));
}

TEST_CASE("Transposed twice a lens is the same lens, to the last digit") {
    pairmark::tests::Random random(17);
    for (int i = 0; i < 20'000; ++i) {
        const Power power = to_minus_cylinder(any_lens(random));
        CAPTURE(power.sphere.value(), power.cylinder.value(), power.axis);
        CHECK(to_minus_cylinder(to_plus_cylinder(power)) == power);
        const Power plus = to_plus_cylinder(power);
        CHECK(to_plus_cylinder(to_minus_cylinder(plus)) == plus);
    }
}

TEST_CASE("Transposition changes the power in no meridian") {
    pairmark::tests::Random random(18);
    for (int i = 0; i < 2'000; ++i) {
        const Power power = any_lens(random);
        for (int meridian = 0; meridian <= 180; meridian += 15) {
            CAPTURE(power.sphere.value(), power.cylinder.value(), power.axis, meridian);
            const double before = power_in_meridian(power, meridian);
            CHECK(power_in_meridian(to_minus_cylinder(power), meridian) == near(before, 1e-12));
            CHECK(power_in_meridian(to_plus_cylinder(power), meridian) == near(before, 1e-12));
        }
    }
}

TEST_CASE("Any angle comes into the range above 0 up to 180") {
    struct Turn {
        double given, expected;
    };
    for (const Turn& turn : {Turn{0, 180}, Turn{180, 180}, Turn{360, 180}, Turn{-90, 90}, Turn{270, 90},
                             Turn{0.25, 0.25}, Turn{-180, 180}, Turn{-1e-300, 180}}) {
        CAPTURE(turn.given);
        CHECK(turned_into_range(turn.given) == turn.expected);
    }
}
