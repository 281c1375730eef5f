// Power vectors and matrices against published and derived values; sums of crossed cylinders.
#include <catch2/catch.hpp>
#include <cmath>

#include "host/optics/compare.hpp"
#include "host/optics/power_vector.hpp"
#include "tests/optics/lenses.hpp"

using namespace pairmark::optics;
using pairmark::tests::any_lens;
using pairmark::tests::lens;

TEST_CASE("Lenses become the power vectors V1, V2 (gatinel.com, astigmatism addition), V7, V8 (derived)") {
    struct Row {
        const char* id;
        Power power;
        double m, j0, j45;
    };
    for (const Row& row : {Row{"V1", lens(-2.00, -2.00, 180), -3.00, +1.00, 0.00},
                           Row{"V2", lens(+1.00, -1.00, 90), +0.50, -0.50, 0.00},
                           Row{"V7", lens(+2.00, -1.00, 30), 1.5000, 0.2500, 0.4330},
                           Row{"V8", lens(-4.25, -1.75, 45), -5.1250, 0, 0.8750}}) {
        CAPTURE(row.id);
        const PowerVector vector = to_vector(row.power);
        CHECK(vector.m == Approx(row.m).margin(5e-5));
        CHECK(vector.j0 == Approx(row.j0).margin(5e-5));
        CHECK(vector.j45 == Approx(row.j45).margin(5e-5));
    }
}

TEST_CASE(
    "The length of a vector is the blur strength: V4 3.82 D (knowt.com lecture notes), V7 and V8 (derived)") {
    CHECK(length(to_vector(lens(-3.00, -1.50, 180))) == Approx(3.8243).margin(5e-5));
    CHECK(length(to_vector(lens(+2.00, -1.00, 30))) == Approx(1.5811).margin(5e-5));
    CHECK(length(to_vector(lens(-4.25, -1.75, 45))) == Approx(5.1992).margin(5e-5));
}

TEST_CASE("Lenses become the power matrices V6, V7 (derived; entries as in opticalc, crossed_cylinders.rs)") {
    struct Row {
        const char* id;
        Power power;
        double f11, f12, f22;
    };
    for (const Row& row : {Row{"V6", lens(+6.00, -3.00, 140), 4.7605, -1.4772, 4.2395},
                           Row{"V7", lens(+2.00, -1.00, 30), 1.7500, 0.4330, 1.2500}}) {
        CAPTURE(row.id);
        const PowerMatrix matrix = to_matrix(row.power);
        CHECK(matrix.f11 == Approx(row.f11).margin(5e-5));
        CHECK(matrix.f12 == Approx(row.f12).margin(5e-5));
        CHECK(matrix.f22 == Approx(row.f22).margin(5e-5));
    }
}

TEST_CASE("Lenses laid on each other add up to the published resultants") {
    struct Row {
        const char* id;
        Power a, b, sum;
        double power_margin, axis_margin;
        const char* source;
    };
    const Row rows[] = {
        {"V3", lens(-2.00, -2.00, 180), lens(+1.00, -1.00, 90), lens(-2.00, -1.00, 180), 1e-6, 1e-6,
         "gatinel.com"},
        {"C1", lens(+1.75, +0.50, 45), lens(-2.25, -1.00, 135), lens(0.00, -1.50, 135), 1e-6, 1e-6,
         "The Indian Optician, May-June 2022, p. 105"},
        {"C2", lens(0, +2.00, 120), lens(0, -2.25, 80), lens(+1.25, -2.73, 57), 0.02, 0.5,
         "forums.studentdoctor.net 116587"},
        {"C3", lens(0, +2.00, 120), lens(0, -2.25, 30), lens(+2.00, -4.25, 30), 1e-6, 1e-6,
         "same thread, second poster"},
        {"C4", lens(0, -2.00, 90), lens(0, -1.00, 90), lens(0, -3.00, 90), 1e-6, 1e-6,
         "opticalc crossed_cylinders.rs"},
        {"C6", lens(-4.00, +2.00, 45), lens(-5.00, -3.00, 120), lens(-7.0817, -4.8366, 125.966), 5e-5, 5e-4,
         "same (resultant derived)"},
        {"C8", lens(+0.00, +1.00, 30), lens(0, +1.00, 60), lens(+1.8660, -1.7321, 135), 5e-5, 1e-6,
         "closed form of The Indian Optician p. 105, derived"},
        {"C10", lens(+2.00, -1.00, 30), lens(+1.00, -2.00, 75), lens(+2.6180, -2.2361, 61.717), 5e-5, 0.005,
         "derived"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.id, row.source);
        const Power sum = from_vector(to_vector(row.a) + to_vector(row.b));
        CHECK(sum.sphere.value() == Approx(row.sum.sphere.value()).margin(row.power_margin));
        CHECK(sum.cylinder.value() == Approx(row.sum.cylinder.value()).margin(row.power_margin));
        CHECK(sum.axis == Approx(row.sum.axis).margin(row.axis_margin));
    }
}

TEST_CASE(
    "Equal cylinders crossed leave a sphere without a stray axis (C11, derived); spheres add (C5, "
    "opticalc)") {
    CHECK(from_vector(to_vector(lens(0, -1.00, 180)) + to_vector(lens(0, -1.00, 90))) == lens(-1.00, 0, 0));
    CHECK(from_vector(to_vector(lens(+2.00, 0, 0)) + to_vector(lens(-1.25, 0, 0))) == lens(+0.75, 0, 0));
}

TEST_CASE("A lens comes back from its vector, and its vector and matrix give the power of every meridian") {
    pairmark::tests::Random random(5);
    for (int i = 0; i < 5'000; ++i) {
        const Power power = any_lens(random);
        const Power back = from_vector(to_vector(power));
        CAPTURE(power.sphere.value(), power.cylinder.value(), power.axis);
        for (int meridian = 0; meridian < 180; meridian += 45) {
            CHECK(power_in_meridian(back, meridian) ==
                  Approx(power_in_meridian(power, meridian)).margin(3e-6));
        }
        const PowerMatrix matrix = to_matrix(power);
        CHECK(matrix.f11 == Approx(power_in_meridian(power, 180)).margin(1e-12));
        CHECK(matrix.f22 == Approx(power_in_meridian(power, 90)).margin(1e-12));
        CHECK(back.axis >= 0);
        CHECK(back.axis <= 180);
    }
}
