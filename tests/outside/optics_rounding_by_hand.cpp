// Lenses rounded by hand, before any rounding was written. Whoever doubts a row can redo it with a pencil:
//   1. write the lens in minus cylinder (sphere + cylinder, -cylinder, axis turned by 90);
//   2. take sphere and cylinder each to the nearest quarter;
//   3. where one of them lies half way, both quarters are candidates: the lens whose spherical equivalent
//   (SE, sphere +
//      half the cylinder) is nearest to the unrounded one; if still equal the weaker cylinder; then the more
//      plus sphere.
// "off" in a reason is the distance of a candidate's SE from the unrounded SE.
#include <catch2/catch.hpp>
#include <cmath>

#include "host/optics/rounding.hpp"
#include "host/optics/transpose.hpp"

using pairmark::optics::Dioptre;
using pairmark::optics::on_label;
using pairmark::optics::Power;
using pairmark::optics::to_minus_cylinder;

namespace {

struct Row {
    double sphere, cylinder, axis;                    // as the instrument showed it
    double label_sphere, label_cylinder, label_axis;  // axis 0: none
    const char* reason;
};

const Row rows[] = {
    // No tie: the nearest quarter.
    {+1.00, 0.00, 0, +1.00, 0.00, 0, "on the grid"},
    {0.00, 0.00, 0, 0.00, 0.00, 0, "no power"},
    {0.00, 0.00, 77, 0.00, 0.00, 0, "an axis without a cylinder has no meaning"},
    {-0.10, 0.00, 0, 0.00, 0.00, 0, "nearest is 0.00, not -0.00"},
    {+0.13, 0.00, 0, +0.25, 0.00, 0, "0.13 is past the middle, 0.125"},
    {+0.12, 0.00, 0, 0.00, 0.00, 0, "0.12 taken literally lies before the middle"},
    {-0.13, 0.00, 0, -0.25, 0.00, 0, "past the middle on the minus side"},
    {-0.12, 0.00, 0, 0.00, 0.00, 0, "before the middle on the minus side"},
    {-4.72, +1.20, 128, -3.50, -1.25, 38, "-3.52 / -1.20 x 38; -3.52 is nearest -3.50, -1.20 nearest -1.25"},
    {+2.00, +1.00, 90, +3.00, -1.00, 180, "+3.00 / -1.00; 90 + 90 = 180"},
    {-2.25, +0.50, 164, -1.75, -0.50, 74, "-1.75 / -0.50; 164 - 90 = 74"},
    {-0.12, +0.12, 45, 0.00, 0.00, 0, "0.00 / -0.12 x 135; -0.12 is nearest 0: no cylinder, no axis"},
    {+0.37, +0.37, 10, +0.75, -0.25, 100, "+0.74 / -0.37 x 100; -0.37 lies before the middle, -0.375"},
    {+1.10, -0.10, 30, +1.00, 0.00, 0, "the cylinder rounds away, and its axis with it"},
    {+1.24, -0.13, 30, +1.25, -0.25, 30, "-0.13 is past the middle"},
    {-15.50, +10.50, 180, -5.00, -10.50, 90, "-15.50 + 10.50 = -5.00; 180 - 90 = 90"},
    {+14.50, +0.01, 0, +14.50, 0.00, 0, "+14.51 / -0.01"},
    {+0.0625, -0.0625, 90, 0.00, 0.00, 0, "a sixteenth is nearest 0.00"},
    {+0.1875, -0.3125, 90, +0.25, -0.25, 90, "three sixteenths to 0.25, five sixteenths to 0.25"},

    // The order of arithmetic (T27): rounding first would give 0.00 here.
    {+0.12, +0.12, 90, +0.25, 0.00, 0, "+0.24 / -0.12 x 180; nearest +0.25 and 0"},

    // The sphere half way, the cylinder on the grid: both candidates 0.125 off, same cylinder: the more plus
    // (T28).
    {+0.125, 0.00, 0, +0.25, 0.00, 0, "0.00 or +0.25: more plus"},
    {-0.125, 0.00, 0, 0.00, 0.00, 0, "-0.25 or 0.00: more plus"},
    {+1.125, 0.00, 0, +1.25, 0.00, 0, "+1.00 or +1.25: more plus"},
    {-1.125, 0.00, 0, -1.00, 0.00, 0, "-1.25 or -1.00: more plus"},
    {-0.375, 0.00, 0, -0.25, 0.00, 0, "-0.50 or -0.25: more plus"},
    {+1.125, -0.50, 90, +1.25, -0.50, 90, "+1.00 or +1.25: more plus"},
    {-2.625, -1.25, 10, -2.50, -1.25, 10, "-2.75 or -2.50: more plus"},
    {-1.125, +0.50, 45, -0.50, -0.50, 135, "-0.625 / -0.50; -0.75 or -0.50: more plus"},
    {+0.125, +0.25, 60, +0.50, -0.25, 150, "+0.375 / -0.25; +0.25 or +0.50: more plus"},

    // The sphere half way, the cylinder off the grid: the spherical equivalent settles it.
    {+1.125, -0.30, 90, +1.00, -0.25, 90, "SE +0.975: +1.00 is 0.10 off, +1.25 is 0.15 off"},
    {+1.125, -0.20, 90, +1.25, -0.25, 90, "SE +1.025: +1.00 is 0.15 off, +1.25 is 0.10 off"},
    {-1.375, -0.55, 20, -1.50, -0.50, 20, "SE -1.65: -1.50 is 0.10 off, -1.25 is 0.15 off"},
    {-1.375, -0.45, 20, -1.25, -0.50, 20, "SE -1.60: -1.50 is 0.15 off, -1.25 is 0.10 off"},
    {+0.625, -0.10, 80, +0.50, 0.00, 0, "SE +0.575: +0.50 is 0.075 off, +0.75 is 0.175 off"},
    {-0.125, -0.10, 80, -0.25, 0.00, 0, "SE -0.175: -0.25 is 0.075 off, 0.00 is 0.175 off"},
    {+0.1875, +0.1875, 180, +0.50, -0.25, 90,
     "+0.375 / -0.1875, SE +0.28125: +0.50 is 0.09375 off, +0.25 is 0.15625 off"},

    // The cylinder half way, the sphere on the grid: both candidates 0.0625 off: the weaker cylinder.
    {0.00, -0.125, 90, 0.00, 0.00, 0, "0.00 or -0.25: weaker, and then no axis"},
    {+1.00, -0.375, 5, +1.00, -0.25, 5, "-0.25 or -0.50: weaker"},
    {-3.00, -0.625, 170, -3.00, -0.50, 170, "-0.50 or -0.75: weaker"},
    {+2.00, -2.125, 33, +2.00, -2.00, 33, "-2.00 or -2.25: weaker"},
    {-0.375, +0.625, 120, +0.25, -0.50, 30, "+0.25 / -0.625 x 30; -0.50 or -0.75: weaker"},
    {+0.125, +0.125, 90, +0.25, 0.00, 0,
     "+0.25 / -0.125 x 180; 0.00 or -0.25: weaker (T27 in whole eighths)"},
    {-0.125, +0.125, 30, 0.00, 0.00, 0, "0.00 / -0.125 x 120; 0.00 or -0.25: weaker"},

    // The cylinder half way, the sphere off the grid: the spherical equivalent settles it.
    {+1.05, -0.625, 60, +1.00, -0.50, 60, "SE +0.7375: -0.50 is 0.0125 off, -0.75 is 0.1125 off"},
    {+0.95, -0.625, 60, +1.00, -0.75, 60, "SE +0.6375: -0.50 is 0.1125 off, -0.75 is 0.0125 off"},
    {-2.10, -1.125, 100, -2.00, -1.25, 100, "SE -2.6625: -1.00 is 0.1625 off, -1.25 is 0.0375 off"},
    {-1.90, -1.125, 100, -2.00, -1.00, 100, "SE -2.4625: -1.00 is 0.0375 off, -1.25 is 0.1625 off"},
    {+0.10, -0.125, 15, 0.00, 0.00, 0, "SE +0.0375: 0.00 is 0.0375 off, -0.25 is 0.1625 off"},
    {-0.10, -0.125, 15, 0.00, -0.25, 15, "SE -0.1625: 0.00 is 0.1625 off, -0.25 is 0.0375 off"},

    // Both half way: of four candidates two are 0.0625 off, the other two 0.1875; of the two the weaker
    // cylinder.
    {+1.125, -0.625, 90, +1.00, -0.50, 90, "+1.00 / -0.50 or +1.25 / -0.75: weaker"},
    {-1.125, -0.375, 90, -1.25, -0.25, 90, "-1.25 / -0.25 or -1.00 / -0.50: weaker"},
    {+0.125, -0.125, 45, 0.00, 0.00, 0, "0.00 / 0.00 or +0.25 / -0.25: weaker"},
    {-0.125, -0.125, 45, -0.25, 0.00, 0, "-0.25 / 0.00 or 0.00 / -0.25: weaker"},
    {-1.00, +0.125, 90, -1.00, 0.00, 0, "-0.875 / -0.125; -1.00 / 0.00 or -0.75 / -0.25: weaker"},

    // The axis: a whole degree, half way goes up, 180 instead of 0.
    {+2.375, -1.875, 37.5, +2.25, -1.75, 38, "+2.25 / -1.75 or +2.50 / -2.00: weaker; 37.5 goes up"},
    {-4.25, +2.75, 37.5, -1.50, -2.75, 128, "-1.50 / -2.75 x 127.5; 127.5 goes up"},
    {+1.00, -1.00, 0, +1.00, -1.00, 180, "an axis of 0 is written 180"},
    {+1.00, -1.00, 0.4, +1.00, -1.00, 180, "0.4 is nearest 0, written 180"},
    {+1.00, -1.00, 0.5, +1.00, -1.00, 1, "0.5 goes up"},
    {+1.00, -1.00, 179.5, +1.00, -1.00, 180, "179.5 goes up"},
    {+1.00, +1.00, 89.5, +2.00, -1.00, 180, "179.5 after the transposition goes up"},
};

Power power(double sphere, double cylinder, double axis) {
    return {Dioptre::nearest(sphere), Dioptre::nearest(cylinder), axis};
}

}  // namespace

TEST_CASE("Lenses stand on the label as they were rounded by hand beforehand") {
    STATIC_REQUIRE(sizeof rows / sizeof rows[0] >= 40);
    for (const Row& row : rows) {
        const Power label = on_label(power(row.sphere, row.cylinder, row.axis));
        CAPTURE(row.sphere, row.cylinder, row.axis, row.reason);
        CHECK(label.sphere.value() == row.label_sphere);
        CHECK(label.cylinder.value() == row.label_cylinder);
        CHECK(label.axis == row.label_axis);
    }
}

TEST_CASE("A power that rounds to nothing is plain zero, never minus zero") {
    for (const Row& row : rows) {
        const Power label = on_label(power(row.sphere, row.cylinder, row.axis));
        if (label.sphere == Dioptre{}) CHECK_FALSE(std::signbit(label.sphere.value()));
        if (label.cylinder == Dioptre{}) CHECK_FALSE(std::signbit(label.cylinder.value()));
    }
}

TEST_CASE("Rounding: before the transposition it would give another lens, so it comes after") {
    // T27, derived: +0.12 / +0.12 x 90, taken literally.
    const Power reading = power(+0.12, +0.12, 90);
    const Power rounded_first = power(0.00, 0.00, 0);
    CHECK(std::nearbyint(0.12 / 0.25) == 0);
    CHECK(on_label(to_minus_cylinder(rounded_first)) == rounded_first);
    CHECK(on_label(to_minus_cylinder(reading)) == power(+0.25, 0.00, 0));
    CHECK(on_label(reading) == power(+0.25, 0.00, 0));
}

TEST_CASE("Rounding: an eighth of a dioptre is a tie, and neither of the two common rules is ours") {
    // T28, derived: half away from zero takes an eighth to the quarter; half to even, one of the two rules of
    // ISO 80000-1:2009, Annex B (from memory), to nothing. No source was found that fixes it for a
    // prescription. Ours goes by the spherical equivalent, the weaker cylinder, then the more plus sphere: of
    // an eighth of either sign the more plus.
    const auto away_from_zero = [](double value) { return std::round(value * 4) / 4; };
    const auto to_even = [](double value) { return std::nearbyint(value * 4) / 4; };
    CHECK(away_from_zero(+0.125) == +0.25);
    CHECK(away_from_zero(-0.125) == -0.25);
    CHECK(to_even(+0.125) == 0);
    CHECK(to_even(-0.125) == 0);
    CHECK(on_label(power(+0.125, 0, 0)).sphere.value() == +0.25);
    CHECK(on_label(power(-0.125, 0, 0)).sphere.value() == 0);
}
