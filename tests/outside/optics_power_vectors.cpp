// Spherical equivalents, power vectors and power matrices against published and derived values.
#include <catch2/catch.hpp>
#include <cmath>

#include "host/optics/compare.hpp"
#include "host/optics/crossed_cylinders.hpp"
#include "host/optics/power_vector.hpp"
#include "tests/optics/lenses.hpp"
#include "tests/optics/near.hpp"

using namespace pairmark::optics;
using pairmark::tests::lens;
using pairmark::tests::near;

TEST_CASE("Spherical equivalent: half the cylinder is added to the sphere, as published") {
    struct Row {
        const char* id;
        Power lens;
        double equivalent;
        const char* source;
    };
    for (const Row& row :
         {Row{"T19", lens(+2.00, -1.00, 90), +1.50, "Community Eye Health 30(98):33, 2017, cehjournal.org"},
          Row{"T20", lens(-3.00, -1.50, 180), -3.75, "knowt.com lecture notes, citing Raasch and Smith"}}) {
        CAPTURE(row.id, row.source);
        CHECK(spherical_equivalent(row.lens) == row.equivalent);
    }
}

TEST_CASE("Power vector: lenses have the published and derived components") {
    struct Row {
        const char* id;
        Power lens;
        double m, j0, j45;
        double margin;
        const char* source;
    };
    const char* gatinel = "gatinel.com, astigmatism addition calculator, step 1";
    const char* derived = "derived from Thibos, Wheeler & Horner 1997 (PubMed 9255814)";
    for (const Row& row : {Row{"V1", lens(-2.00, -2.00, 180), -3.00, +1.00, 0.00, 0.005, gatinel},
                           Row{"V2", lens(+1.00, -1.00, 90), +0.50, -0.50, 0.00, 0.005, gatinel},
                           Row{"V7", lens(+2.00, -1.00, 30), 1.5000, 0.2500, 0.4330, 5e-5, derived},
                           Row{"V8", lens(-4.25, -1.75, 45), -5.1250, 0, 0.8750, 5e-5, derived}}) {
        CAPTURE(row.id, row.source);
        const PowerVector vector = to_vector(row.lens);
        CHECK(vector.m == near(row.m, row.margin));
        CHECK(vector.j0 == near(row.j0, row.margin));
        CHECK(vector.j45 == near(row.j45, row.margin));
    }
}

TEST_CASE("Power vector: the published sum of two is the sum of their lenses") {
    // V3, gatinel.com as above: the three components; sphere, cylinder and axis derived.
    const Power a = lens(-2.00, -2.00, 180);
    const Power b = lens(+1.00, -1.00, 90);
    const PowerVector sum = to_vector(a) + to_vector(b);
    CHECK(sum.m == near(-2.50, 0.005));
    CHECK(sum.j0 == near(+0.50, 0.005));
    CHECK(sum.j45 == near(0.00, 0.005));
    CHECK(sum_of(a, b) == lens(-2.00, -1.00, 180));
}

TEST_CASE("Power vector: its length is the published blur strength") {
    // V5, Remon, Monsoriu & Furlan 2017 (J Optom 10:141): the blur strength is the modulus of the vector.
    CHECK(length({.m = 2, .j0 = 3, .j45 = -6}) == near(7, 1e-12));
    CHECK(length({.m = -1.5, .j0 = 0, .j45 = 0}) == near(1.5, 1e-12));
    // V4, knowt.com lecture notes: 3.82 D.
    CHECK(length(to_vector(lens(-3.00, -1.50, 180))) == near(3.82, 0.005));
    // V7 and V8, derived.
    CHECK(length(to_vector(lens(+2.00, -1.00, 30))) == near(1.5811, 5e-5));
    CHECK(length(to_vector(lens(-4.25, -1.75, 45))) == near(5.1992, 5e-5));
}

TEST_CASE("Power matrix: lenses have the derived entries") {
    // Derived from the entries in ocudigital/opticalc (MIT), src/crossed_cylinders.rs.
    struct Row {
        const char* id;
        Power lens;
        double f11, f12, f22;
    };
    for (const Row& row : {Row{"V6", lens(+6.00, -3.00, 140), 4.7605, -1.4772, 4.2395},
                           Row{"V7", lens(+2.00, -1.00, 30), 1.7500, 0.4330, 1.2500}}) {
        CAPTURE(row.id);
        const PowerMatrix matrix = to_matrix(row.lens);
        CHECK(matrix.f11 == near(row.f11, 5e-5));
        CHECK(matrix.f12 == near(row.f12, 5e-5));
        CHECK(matrix.f22 == near(row.f22, 5e-5));
    }
}
