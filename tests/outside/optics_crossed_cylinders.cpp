// Crossed cylinders against published sums, published closed forms, and plain 2x2 matrices.
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "host/optics/compare.hpp"
#include "host/optics/crossed_cylinders.hpp"
#include "host/optics/power_vector.hpp"
#include "host/optics/rounding.hpp"
#include "host/optics/transpose.hpp"
#include "tests/optics/lenses.hpp"
#include "tests/optics/matrix_by_hand.hpp"
#include "tests/optics/near.hpp"

using namespace pairmark::optics;
using pairmark::tests::lens;
using pairmark::tests::lens_by_hand;
using pairmark::tests::Matrix2;
using pairmark::tests::matrix_by_hand;
using pairmark::tests::near;
using pairmark::tests::PlainLens;

namespace {

constexpr double degree = std::numbers::pi / 180;
constexpr double exact = 0;

const char* const indian_optician = "The Indian Optician, May-June 2022, p. 105";
const char* const opticalc = "ocudigital/opticalc (MIT), src/crossed_cylinders.rs tests";

struct Row {
    const char* id;
    Power a, b, sum;
    double power_margin, axis_margin;
    const char* source;
};

const Row rows[] = {
    {"C1", lens(+1.75, +0.50, 45), lens(-2.25, -1.00, 135), lens(0.00, -1.50, 135), exact, exact,
     indian_optician},
    {"C2", lens(0, +2.00, 120), lens(0, -2.25, 80), lens(+1.25, -2.73, 57), 0.02, 0.5,
     "forums.studentdoctor.net, thread help.116587"},
    {"C2", lens(0, +2.00, 120), lens(0, -2.25, 80), lens(+1.2443, -2.7386, 57.005), 5e-5, 5e-4,
     "the same, worked to more digits"},
    {"C3", lens(0, +2.00, 120), lens(0, -2.25, 30), lens(+2.00, -4.25, 30), exact, exact,
     "the same thread, second poster"},
    {"C4", lens(0, -2.00, 90), lens(0, -1.00, 90), lens(0, -3.00, 90), exact, exact, opticalc},
    {"C5", lens(+2.00, 0, 0), lens(-1.25, 0, 0), lens(+0.75, 0, 0), exact, exact, opticalc},
    {"C6", lens(-4.00, +2.00, 45), lens(-5.00, -3.00, 120), lens(-7.0817, -4.8366, 125.966), 5e-5, 5e-4,
     "inputs as in opticalc, resultant derived"},
    {"C8", lens(0, +1.00, 30), lens(0, +1.00, 60), lens(+1.8660, -1.7321, 135), 5e-5, exact,
     "derived from the closed form C7"},
    {"C10", lens(+2.00, -1.00, 30), lens(+1.00, -2.00, 75), lens(+2.6180, -2.2361, 61.717), 5e-5, 0.0005,
     "derived"},
    {"C11", lens(0, -1.00, 180), lens(0, -1.00, 90), lens(-1.00, 0, 0), exact, exact, "derived"},
};

/// Two plus cylinders of `f1` and `f2`, the second `angle` degrees on: Indian Optician, p. 105, C9. Its line
/// for the sphere is broken in print; taken as (F1 + F2 - C) / 2.
struct ClosedForm {
    double sphere, cylinder, from_the_first;
};
ClosedForm closed_form(double f1, double f2, double angle) {
    const double doubled = 2 * angle * degree;
    const double cylinder = std::sqrt(f1 * f1 + f2 * f2 + 2 * f1 * f2 * std::cos(doubled));
    return {(f1 + f2 - cylinder) / 2, cylinder,
            std::atan2(f2 * std::sin(doubled), f1 + f2 * std::cos(doubled)) / 2 / degree};
}

}  // namespace

TEST_CASE("Crossed cylinders: lenses laid on each other add up to the published resultants") {
    for (const Row& row : rows) {
        CAPTURE(row.id, row.source);
        const Power sum = sum_of(row.a, row.b);
        CHECK(sum.sphere.value() == near(row.sum.sphere.value(), row.power_margin));
        CHECK(sum.cylinder.value() == near(row.sum.cylinder.value(), row.power_margin));
        CHECK(sum.axis == near(row.sum.axis, row.axis_margin));
    }
}

TEST_CASE("Crossed cylinders: the published inputs add up alike by plain 2x2 matrices") {
    for (const Row& row : rows) {
        CAPTURE(row.id, row.source);
        const Matrix2 added = matrix_by_hand(row.a) + matrix_by_hand(row.b);
        const PlainLens by_hand = lens_by_hand(added);
        const Power sum = sum_of(row.a, row.b);
        CHECK(sum.sphere.value() == near(by_hand.sphere, 1e-6));
        CHECK(sum.cylinder.value() == near(by_hand.cylinder, 1e-6));
        if (sum.cylinder != Dioptre{}) CHECK(sum.axis == near(by_hand.axis, 1e-6));
    }
}

TEST_CASE("Crossed cylinders: the entries of the summed matrix are the published ones") {
    // C6, opticalc: f11, f12, f22 of the sum.
    const PowerMatrix sum = to_matrix(to_vector(lens(-4.00, +2.00, 45)) + to_vector(lens(-5.00, -3.00, 120)));
    CHECK(sum.f11 == near(-10.25, 1e-9));
    CHECK(sum.f12 == near(-1 - 3 * std::sqrt(3) / 4, 1e-9));
    CHECK(sum.f12 == near(-2.2990, 5e-5));
    CHECK(sum.f22 == near(-8.75, 1e-9));
}

TEST_CASE("Crossed cylinders: the other poster's sum of +2.00 x 120 and -2.25 x 30 is wrong") {
    // C3, same thread: -0.25 x 30, the plain sum of two cylinders whose axes are not the same.
    const Power ours = sum_of(lens(0, +2.00, 120), lens(0, -2.25, 30));
    const Power wrong = lens(0, -0.25, 30);
    CHECK_FALSE(ours == wrong);
    CHECK(power_in_meridian(ours, 30) == near(+2.00, 1e-9));
    CHECK(power_in_meridian(wrong, 30) == near(0.00, 1e-9));
    CHECK(difference_in_any_meridian(ours, wrong) == near(2.00, 1e-9));
}

TEST_CASE("Crossed cylinders: two equal ones make what the published closed form says") {
    // C7, Indian Optician p. 105: S = 2 F sin^2(a/2), C = 2 (F - S), the axis half way.
    for (const int angle : {1, 10, 29, 30, 45, 60, 89}) {
        for (const double f : {0.25, 1.00, 3.75}) {
            CAPTURE(angle, f);
            const double sine = std::sin(angle * degree / 2);
            const double sphere = 2 * f * sine * sine;
            const Power sum = to_plus_cylinder(sum_of(lens(0, f, 40), lens(0, f, 40 + angle)));
            CHECK(sum.sphere.value() == near(sphere, 1e-6));
            CHECK(sum.cylinder.value() == near(2 * (f - sphere), 1e-6));
            CHECK(sum.axis == near(40 + angle / 2.0, 1e-5));
        }
    }
    // C8, derived: the plus form of its row above.
    const Power plus = to_plus_cylinder(sum_of(lens(0, +1.00, 30), lens(0, +1.00, 60)));
    CHECK(plus.sphere.value() == near(0.1340, 5e-5));
    CHECK(plus.cylinder.value() == near(1.7321, 5e-5));
    CHECK(plus.axis == 45);
}

TEST_CASE(
    "Crossed cylinders: any two make what the published closed form says, not what it says as printed") {
    // C9, Indian Optician p. 105.
    for (const int angle : {0, 5, 33, 45, 60, 77, 90, 120, 150, 179}) {
        CAPTURE(angle);
        const ClosedForm published = closed_form(2.00, 1.25, angle);
        const Power sum = to_plus_cylinder(sum_of(lens(0, +2.00, 20), lens(0, +1.25, 20 + angle)));
        CHECK(sum.sphere.value() == near(published.sphere, 1e-6));
        CHECK(sum.cylinder.value() == near(published.cylinder, 1e-6));
        CHECK(std::remainder(sum.axis - 20 - published.from_the_first, 180) == near(0, 1e-5));
        // Read as it is printed, F1 + F2 - C/2, the sphere would not come out.
        CHECK(std::abs(sum.sphere.value() - (2.00 + 1.25 - published.cylinder / 2)) > 1);
    }
}

TEST_CASE("Crossed cylinders: equal minus cylinders at right angles leave a plain sphere") {
    // C11, derived: no stray axis, no minus zero.
    const Power sum = sum_of(lens(0, -1.00, 180), lens(0, -1.00, 90));
    CHECK(sum == lens(-1.00, 0, 0));
    CHECK_FALSE(std::signbit(sum.cylinder.value()));
    CHECK(on_label(sum) == lens(-1.00, 0, 0));
}

TEST_CASE("Crossed cylinders: a plain arc tangent is 90 degrees off where ours is right") {
    // C12, optiboard.com thread 62100: axis 74 for 164.
    const Power meant = lens(+1.00, -2.00, 164);
    const PowerVector vector = to_vector(meant);
    CHECK(from_vector(vector).axis == 164);
    const double plain = std::atan(vector.j45 / vector.j0) / 2 / degree;
    CHECK(turned_into_range(plain) == near(164, 1e-9));
    // The other half of all axes goes wrong: 74 comes out as 164.
    const PowerVector crossed = to_vector(lens(+1.00, -2.00, 74));
    CHECK(from_vector(crossed).axis == 74);
    CHECK(turned_into_range(std::atan(crossed.j45 / crossed.j0) / 2 / degree) == near(164, 1e-9));
}

TEST_CASE("Crossed cylinders: a cylinder turned off its axis leaves 2 C sin d (from memory)") {
    // C13 is from memory, a standard result; that the axis bands of ANSI Z80.1 were set by it is read (PubMed
    // 16814238; the OLA white paper on Z80.1-2005 prints sin a = C / 2 F).
    struct Turned {
        const char* id;
        double cylinder, by, left;
        double margin;
    };
    for (const Turned& row : {Turned{"C14", 0.25, 14, 0.121, 0.0005}, Turned{"C14", 0.50, 7, 0.122, 0.0005},
                              Turned{"C14", 0.75, 5, 0.131, 0.0005}, Turned{"C14", 1.50, 3, 0.157, 0.0005},
                              Turned{"C14", 2.00, 2, 0.140, 0.0005}, Turned{"C15", 1.00, 30, 1.00, 0}}) {
        CAPTURE(row.id, row.cylinder, row.by);
        const Power ordered = lens(0, -row.cylinder, 60);
        const Power made = lens(0, -row.cylinder, 60 + row.by);
        const Power left = difference_of(made, ordered);
        CHECK(-left.cylinder.value() == near(row.left, row.margin));
        CHECK(-left.cylinder.value() == near(2 * row.cylinder * std::sin(row.by * degree), 1e-6));
        // Nothing is left of the spherical equivalent: what an axis error makes is a crossed cylinder.
        CHECK(spherical_equivalent(left) == near(0, 1e-6));
    }
}
