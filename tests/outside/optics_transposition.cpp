// Transposition against published worked examples.
#include <catch2/catch.hpp>

#include "host/optics/compare.hpp"
#include "host/optics/power_vector.hpp"
#include "host/optics/transpose.hpp"
#include "tests/optics/lenses.hpp"
#include "tests/optics/near.hpp"

using namespace pairmark::optics;
using pairmark::tests::lens;
using pairmark::tests::near;

namespace {

const char* const opticalc = "ocudigital/opticalc (MIT), src/transpose.rs tests, commit 2def554d";

struct Row {
    const char* id;
    Power given;
    Power expected;
    const char* source;
};

const Row rows[] = {
    {"T1", lens(-3.00, +2.00, 30), lens(-1.00, -2.00, 120),
     "laramyk.com, dispensing/transposing-prescriptions"},
    {"T2", lens(-3.00, -2.00, 30), lens(-5.00, +2.00, 120),
     "ophthalmiclenses.blogspot.com, label transpose, ex. 2"},
    {"T3", lens(+3.00, -2.00, 30), lens(+1.00, +2.00, 120), "the same, ex. 3 (axis by rule)"},
    {"T4", lens(+2.50, -1.50, 170), lens(+1.00, +1.50, 80),
     "eyeandcontacts.com 2021/12 glasses-or-spectacle-power, ex. 1"},
    {"T5", lens(-1.75, -1.25, 60), lens(-3.00, +1.25, 150), "the same, ex. 2"},
    {"T6", lens(+1.75, -3.25, 40), lens(-1.50, +3.25, 130), "the same, ex. 3: crosses zero"},
    {"T7", lens(+1.00, +1.00, 90), lens(+2.00, -1.00, 180),
     "optominsight.com/simple-transposition, ex. 1: 180, not 0"},
    {"T8", lens(+2.00, -2.00, 100), lens(0.00, +2.00, 10), "the same, ex. 2 (sphere by rule)"},
    {"T9", lens(+1.00, +2.00, 90), lens(+3.00, -2.00, 180),
     "opterio.com/learn/prescription-transposition-abo, ex. 1"},
    {"T10", lens(-4.25, -1.75, 45), lens(-6.00, +1.75, 135), "the same, ex. 2"},
    {"T11", lens(+2.50, -1.00, 160), lens(+1.50, +1.00, 70), "the same, ex. 3"},
    {"T12", lens(+1.50, -0.50, 125), lens(+1.00, +0.50, 35), "nfos.org/degree/opt11/module_08c.html"},
    {"T13", lens(+3.00, -1.00, 180), lens(+2.00, +1.00, 90), "mrcophth.com mock10/stationthree, step 1"},
    {"T14", lens(-2.00, +1.50, 90), lens(-0.50, -1.50, 180), "the same, second lens"},
    {"T15", lens(-4.25, +2.75, 37.5), lens(-1.50, -2.75, 127.5), opticalc},
    {"T16", lens(-3.50, +2.00, 150), lens(-1.50, -2.00, 60), opticalc},
    {"T16", lens(-8.00, +4.50, 15), lens(-3.50, -4.50, 105), opticalc},
};

Power other_form(const Power& given) {
    return given.cylinder > Dioptre{} ? to_minus_cylinder(given) : to_plus_cylinder(given);
}

}  // namespace

TEST_CASE("Transposition: lenses are written as in the published worked examples") {
    for (const Row& row : rows) {
        CAPTURE(row.id, row.source);
        CHECK(other_form(row.given) == row.expected);
    }
}

TEST_CASE("Transposition: the published examples lead back to the lens that was given") {
    // T17, opticalc: transposing twice is the identity.
    for (const Row& row : rows) {
        CAPTURE(row.id, row.source);
        CHECK(other_form(row.expected) == row.given);
    }
}

TEST_CASE("Transposition: the published lens keeps its power in every meridian") {
    // T17, opticalc: -2.00 / -3.00 x 60 at 0, 30, ... 180 degrees.
    const Power given = lens(-2.00, -3.00, 60);
    for (int meridian = 0; meridian <= 180; meridian += 30) {
        CAPTURE(meridian);
        CHECK(power_in_meridian(to_plus_cylinder(given), meridian) ==
              near(power_in_meridian(given, meridian), 1e-12));
    }
    CHECK(power_in_meridian(given, 60) == near(-2.00, 1e-12));
    CHECK(power_in_meridian(given, 150) == near(-5.00, 1e-12));
}

TEST_CASE("Transposition: both forms are equivalent writings of one lens, as the vocabulary has it") {
    // T18, ISO 13666:1998, 12.9 (read in the identical GOST R ISO 13666-2009): particularly from plus to
    // minus cylinder and back. The two principal powers of both forms are the same two.
    for (const Row& row : rows) {
        CAPTURE(row.id, row.source);
        CHECK(largest_meridian(row.given) == largest_meridian(row.expected));
        CHECK(smallest_meridian(row.given) == smallest_meridian(row.expected));
        CHECK(to_minus_cylinder(row.given) == to_minus_cylinder(row.expected));
        CHECK(to_plus_cylinder(row.given) == to_plus_cylinder(row.expected));
    }
}

TEST_CASE("Transposition: a formula in circulation is wrong above 90 degrees, and ours is not it") {
    // T29, optomcalc.shivan.xyz/cylinder_transpose: above 90 the new axis is 180 less the old one. That gives
    // 10 for an axis of 170, where T4, T11 and T16 subtract 90.
    const auto wrong = [](double axis) { return axis > 90 ? 180 - axis : axis + 90; };
    CHECK(wrong(170) == 10);
    CHECK(to_minus_cylinder(lens(+1.00, +1.00, 170)) == lens(+2.00, -1.00, 80));
    for (const Row& row : rows) {
        CAPTURE(row.id, row.source);
        const double axis = row.given.axis;
        // At 135 alone both agree.
        if (axis > 90 && axis < 180 && axis != 135) {
            CHECK_FALSE(other_form(row.given).axis == wrong(axis));
        }
    }
}

TEST_CASE("Transposition: where a library answers axis 0, a label says 180") {
    // T30, opticalc test transpose_plus_to_minus_cylinder: +1.00 / -1.50 x 90 comes back as its plus form x
    // 0.
    const Power plus = to_plus_cylinder(lens(+1.00, -1.50, 90));
    CHECK(plus == lens(-0.50, +1.50, 180));
    CHECK_FALSE(plus.axis == 0);
    CHECK(to_minus_cylinder(lens(-0.50, +1.50, 0)) == lens(+1.00, -1.50, 90));
}
