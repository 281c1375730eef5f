// Properties of the prismatic effect. Published values: tests/outside/optics_prism.cpp.
#include "host/optics/prism.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <type_traits>

#include "host/optics/compare.hpp"
#include "host/optics/transpose.hpp"
#include "host/optics/vertical_imbalance.hpp"
#include "tests/optics/lenses.hpp"
#include "tests/optics/matrix_by_hand.hpp"
#include "tests/optics/near.hpp"

using namespace pairmark::optics;
using pairmark::tests::any_lens;
using pairmark::tests::any_whole;
using pairmark::tests::lens;
using pairmark::tests::matrix_by_hand;
using pairmark::tests::near;
using pairmark::tests::Vector2;

namespace {

constexpr double margin = 1e-11;  // prism dioptres, of up to 150

Decentration any_decentration(pairmark::tests::Random& random) {
    return {.centre_in_mm = any_whole(random, -300, 300) / 10.0,
            .centre_up_mm = any_whole(random, -300, 300) / 10.0};
}

LensOf any_eye(pairmark::tests::Random& random) {
    return any_whole(random, 0, 1) == 0 ? LensOf::right_eye : LensOf::left_eye;
}

void check_same(const PrismaticEffect& a, const PrismaticEffect& b) {
    CHECK(a.base_in == near(b.base_in, margin));
    CHECK(a.base_up == near(b.base_up, margin));
}

}  // namespace

TEST_CASE(
    "A place told from the optical centre cannot be given for one told from the eye, nor the other way") {
    STATIC_REQUIRE_FALSE(std::is_convertible_v<VisualPoint, Decentration>);
    STATIC_REQUIRE_FALSE(std::is_convertible_v<Decentration, VisualPoint>);
    pairmark::tests::Random random(31);
    for (int i = 0; i < 1'000; ++i) {
        const Power power = any_lens(random);
        const LensOf eye = any_eye(random);
        const Decentration centre = any_decentration(random);
        const VisualPoint point{-centre.centre_in_mm, -centre.centre_up_mm};
        check_same(prismatic_effect(power, eye, centre), prismatic_effect(power, eye, point));
        // The same numbers in the wrong one of the two types turn the base round.
        const VisualPoint mistaken{centre.centre_in_mm, centre.centre_up_mm};
        const PrismaticEffect right = prismatic_effect(power, eye, centre);
        check_same(prismatic_effect(power, eye, mistaken), {-right.base_in, -right.base_up});
    }
}

TEST_CASE("The prism is the matrix of the lens times the place, multiplied out") {
    pairmark::tests::Random random(32);
    for (int i = 0; i < 10'000; ++i) {
        const Power power = any_lens(random);
        const Decentration centre = any_decentration(random);
        CAPTURE(power.sphere.value(), power.cylinder.value(), power.axis, centre.centre_in_mm,
                centre.centre_up_mm);
        // To the observer's right lies the nose for the right lens, the temple for the left.
        const Vector2 right =
            matrix_by_hand(power) * Vector2{centre.centre_in_mm / 10, centre.centre_up_mm / 10};
        check_same(prismatic_effect(power, LensOf::right_eye, centre), {right.x, right.y});
        const Vector2 left =
            matrix_by_hand(power) * Vector2{-centre.centre_in_mm / 10, centre.centre_up_mm / 10};
        check_same(prismatic_effect(power, LensOf::left_eye, centre), {-left.x, left.y});
    }
}

TEST_CASE("The prism is that of the component formula with the binasal axis, for both eyes") {
    pairmark::tests::Random random(33);
    for (int i = 0; i < 10'000; ++i) {
        const Power power = any_lens(random);
        const LensOf eye = any_eye(random);
        const Decentration centre = any_decentration(random);
        CAPTURE(power.sphere.value(), power.cylinder.value(), power.axis, centre.centre_in_mm,
                centre.centre_up_mm, eye == LensOf::right_eye);
        const double binasal =
            (eye == LensOf::right_eye ? power.axis : 180 - power.axis) * std::numbers::pi / 180;
        const double out = -centre.centre_in_mm / 10;
        const double up = centre.centre_up_mm / 10;
        const double along = out * std::sin(binasal) + up * std::cos(binasal);
        const double base_up = up * power.sphere.value() + power.cylinder.value() * std::cos(binasal) * along;
        const double base_out =
            out * power.sphere.value() + power.cylinder.value() * std::sin(binasal) * along;
        check_same(prismatic_effect(power, eye, centre), {-base_out, base_up});
    }
}

TEST_CASE("The mirror image of a right lens has, before the left eye, the mirror image of its prism") {
    pairmark::tests::Random random(34);
    for (int i = 0; i < 10'000; ++i) {
        const Power right = any_lens(random);
        const Power left{right.sphere, right.cylinder, turned_into_range(180 - right.axis)};
        const Decentration centre = any_decentration(random);
        check_same(prismatic_effect(right, LensOf::right_eye, centre),
                   prismatic_effect(left, LensOf::left_eye, centre));
    }
}

TEST_CASE("The prism does not depend on the cylinder form, and doubles with the distance") {
    pairmark::tests::Random random(35);
    for (int i = 0; i < 5'000; ++i) {
        const Power power = any_lens(random);
        const LensOf eye = any_eye(random);
        const Decentration centre = any_decentration(random);
        const PrismaticEffect effect = prismatic_effect(to_plus_cylinder(power), eye, centre);
        check_same(effect, prismatic_effect(to_minus_cylinder(power), eye, centre));
        const Decentration twice{2 * centre.centre_in_mm, 2 * centre.centre_up_mm};
        check_same(prismatic_effect(power, eye, twice), {2 * effect.base_in, 2 * effect.base_up});
    }
}

TEST_CASE("A plus sphere has its base toward the optical centre, a minus sphere away from it") {
    for (const LensOf eye : {LensOf::right_eye, LensOf::left_eye}) {
        const Decentration inward{.centre_in_mm = 4, .centre_up_mm = 0};
        CHECK(prismatic_effect(lens(+3.00, 0, 0), eye, inward).base_in == near(+1.2, margin));
        CHECK(prismatic_effect(lens(-3.00, 0, 0), eye, inward).base_in == near(-1.2, margin));
        const VisualPoint below{.in_from_centre_mm = 0, .up_from_centre_mm = -10};
        CHECK(prismatic_effect(lens(+3.00, 0, 0), eye, below).base_up == near(+3.0, margin));
        CHECK(prismatic_effect(lens(-3.00, 0, 0), eye, below).base_up == near(-3.0, margin));
    }
}

TEST_CASE("At the optical centre there is no prism, whatever the lens, and no minus zero") {
    pairmark::tests::Random random(36);
    for (int i = 0; i < 1'000; ++i) {
        const LensOf eye = any_eye(random);
        const PrismaticEffect effect = prismatic_effect(any_lens(random), eye, VisualPoint{});
        CHECK(effect.base_in == 0);
        CHECK(effect.base_up == 0);
        CHECK_FALSE(std::signbit(effect.base_in));
        CHECK_FALSE(std::signbit(effect.base_up));
        CHECK(resultant(effect) == 0);
        CHECK(base_setting(effect, eye) == 0);
    }
}

TEST_CASE("Resultant and base setting lead back to the two components") {
    pairmark::tests::Random random(37);
    for (int i = 0; i < 10'000; ++i) {
        const LensOf eye = any_eye(random);
        const PrismaticEffect effect{any_whole(random, -200, 200) / 10.0,
                                     any_whole(random, -200, 200) / 10.0};
        const double setting = base_setting(effect, eye);
        CHECK((setting >= 0 && setting < 360));
        const double angle = setting * std::numbers::pi / 180;
        const double to_the_right = resultant(effect) * std::cos(angle);
        check_same(effect, {eye == LensOf::right_eye ? to_the_right : -to_the_right,
                            resultant(effect) * std::sin(angle)});
    }
}

TEST_CASE("The vertical imbalance is the difference of the vertical powers times the depth") {
    pairmark::tests::Random random(38);
    for (int i = 0; i < 5'000; ++i) {
        const Power right = any_lens(random);
        const Power left = any_lens(random);
        const double depth = any_whole(random, 0, 200) / 10.0;
        CAPTURE(right.sphere.value(), right.cylinder.value(), right.axis, left.sphere.value(),
                left.cylinder.value(), left.axis, depth);
        const double more_before_the_right = matrix_by_hand(right).yy - matrix_by_hand(left).yy;
        CHECK(vertical_imbalance(right, left, depth) == near(more_before_the_right * depth / 10, margin));
        // Ten millimetres are one centimetre: there it is the difference itself, which rules put a limit to.
        CHECK(std::abs(vertical_imbalance(right, left)) == near(vertical_difference(right, left), margin));
        CHECK(vertical_imbalance(left, right, depth) ==
              near(-vertical_imbalance(right, left, depth), margin));
        // A pair that is its own mirror image lifts both lines of sight alike.
        const Power mirrored{right.sphere, right.cylinder, turned_into_range(180 - right.axis)};
        CHECK(vertical_imbalance(right, mirrored, depth) == near(0, margin));
    }
}
