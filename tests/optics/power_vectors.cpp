// Properties of power vectors and matrices. Published values: tests/outside/optics_power_vectors.cpp.
#include <catch2/catch.hpp>
#include <cmath>

#include "host/optics/power_vector.hpp"
#include "host/optics/transpose.hpp"
#include "tests/optics/lenses.hpp"
#include "tests/optics/matrix_by_hand.hpp"
#include "tests/optics/near.hpp"

using namespace pairmark::optics;
using pairmark::tests::any_lens;
using pairmark::tests::lens;
using pairmark::tests::lens_by_hand;
using pairmark::tests::Matrix2;
using pairmark::tests::matrix_by_hand;
using pairmark::tests::near;
using pairmark::tests::PlainLens;

TEST_CASE("A lens comes back from its vector and from its matrix to the last digit") {
    pairmark::tests::Random random(5);
    for (int i = 0; i < 20'000; ++i) {
        const Power power = any_lens(random);
        CAPTURE(power.sphere.value(), power.cylinder.value(), power.axis);
        CHECK(from_vector(to_vector(power)) == to_minus_cylinder(power));
        CHECK(from_vector(to_vector(to_matrix(power))) == to_minus_cylinder(power));
    }
}

TEST_CASE("Vector and matrix say the same, there and back, and both give the power of every meridian") {
    pairmark::tests::Random random(51);
    for (int i = 0; i < 5'000; ++i) {
        const Power power = any_lens(random);
        CAPTURE(power.sphere.value(), power.cylinder.value(), power.axis);
        const PowerVector vector = to_vector(power);
        const PowerMatrix matrix = to_matrix(power);
        const PowerVector back = to_vector(to_matrix(vector));
        CHECK(back.m == near(vector.m, 1e-12));
        CHECK(back.j0 == near(vector.j0, 1e-12));
        CHECK(back.j45 == near(vector.j45, 1e-12));
        for (int meridian = 0; meridian < 180; meridian += 15) {
            const double angle = meridian * std::numbers::pi / 180;
            const double along = power_in_meridian(power, meridian);
            const double by_vector =
                vector.m + vector.j0 * std::cos(2 * angle) + vector.j45 * std::sin(2 * angle);
            const double x = std::cos(angle);
            const double y = std::sin(angle);
            CHECK(by_vector == near(along, 1e-12));
            CHECK(matrix.f11 * x * x + 2 * matrix.f12 * x * y + matrix.f22 * y * y == near(along, 1e-12));
        }
    }
}

TEST_CASE("The matrix is that of two powers at right angles turned to the axis, multiplied out") {
    pairmark::tests::Random random(52);
    for (int i = 0; i < 5'000; ++i) {
        const Power power = any_lens(random);
        CAPTURE(power.sphere.value(), power.cylinder.value(), power.axis);
        const Matrix2 by_hand = matrix_by_hand(power);
        const PowerMatrix matrix = to_matrix(power);
        CHECK(matrix.f11 == near(by_hand.xx, 1e-12));
        CHECK(matrix.f12 == near(by_hand.xy, 1e-12));
        CHECK(matrix.f12 == near(by_hand.yx, 1e-12));
        CHECK(matrix.f22 == near(by_hand.yy, 1e-12));
    }
}

TEST_CASE(
    "Neither the vector nor its length depends on the cylinder form, and no meridian passes the length") {
    pairmark::tests::Random random(53);
    for (int i = 0; i < 5'000; ++i) {
        const Power power = any_lens(random);
        CAPTURE(power.sphere.value(), power.cylinder.value(), power.axis);
        const PowerVector plus = to_vector(to_plus_cylinder(power));
        const PowerVector minus = to_vector(to_minus_cylinder(power));
        CHECK(length(plus - minus) == near(0, 1e-12));
        CHECK(length(plus) == near(length(minus), 1e-12));
        // |M + J| is at most sqrt(2) of the length, where M and J are equal.
        for (int meridian = 0; meridian < 180; meridian += 15) {
            CHECK(std::abs(power_in_meridian(power, meridian)) <= std::sqrt(2) * length(plus) + 1e-12);
        }
    }
}

TEST_CASE("A cylinder below half a millionth is none, and a horizontal axis is 180, never 0") {
    CHECK(from_vector({+1.00, 2e-7, 0}) == lens(+1.00, 0, 0));
    CHECK(from_vector({+1.00, 1.00, 1e-15}) == lens(+2.00, -2.00, 180));
    CHECK(from_vector({+1.00, 1.00, -1e-15}) == lens(+2.00, -2.00, 180));
    CHECK(from_vector({+1.00, 1.00, 0}) == lens(+2.00, -2.00, 180));
}
