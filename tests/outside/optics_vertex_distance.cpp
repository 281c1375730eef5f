// Vertex distance: published values of a helper that only these tests have, and that no label uses it.
#include <catch2/catch.hpp>
#include <cmath>

#include "host/optics/rounding.hpp"
#include "tests/optics/lenses.hpp"
#include "tests/optics/near.hpp"
#include "tests/outside/vertex_distance.hpp"

using namespace pairmark::optics;
using pairmark::tests::at_another_index;
using pairmark::tests::lens;
using pairmark::tests::moved_nearer;
using pairmark::tests::near;

TEST_CASE("Vertex distance: the tests' own helper gives the published powers") {
    struct Row {
        const char* id;
        double power, mm, moved, margin;
        const char* source;
    };
    const char* seven = "calculator.7search.cc contact-lens-vertex: F / (1 - x F)";
    const char* derived = "derived from the formula of X1";
    for (const Row& row :
         {Row{"X1", 5, 10, 5.26, 0.005, seven}, Row{"X2", 10, 20, 12.50, 1e-12, seven},
          Row{"X3", -6.00, 12, -5.597, 0.0005, "calhub.xyz/physics/contact-lens-vertex"},
          Row{"X4", -10.00, 12, -8.93, 0.005, "calcbee.com contact-lens-vertex"},
          Row{"X6", +10, 12, 11.3636, 5e-5, derived}, Row{"X6", +4, 12, 4.2017, 5e-5, derived},
          Row{"X6", -4, 12, -3.8168, 5e-5, derived}, Row{"X6", -8, 14, -7.1942, 5e-5, derived}}) {
        CAPTURE(row.id, row.source);
        CHECK(moved_nearer(row.power, row.mm) == near(row.moved, row.margin));
    }
}

TEST_CASE("Vertex distance: each principal meridian moves by itself, and the axis stays") {
    // X5, calcbee.com contact-lens-vertex; brick-calculator.com Toric-Lens-Vertex-Calculator. The powers: X3,
    // X4.
    const Power moved = moved_nearer(lens(-6.00, -4.00, 35), 12);
    CHECK(moved.sphere.value() == near(-5.597, 0.0005));
    CHECK((moved.sphere + moved.cylinder).value() == near(-8.93, 0.005));
    CHECK(moved.axis == 35);
}

TEST_CASE("Vertex distance: at the usual 12 to 14 mm it begins to matter at about 4 D") {
    // X7, several of the pages above; a rough figure. Mattering: half of a label's step and more.
    for (const double mm : {12.0, 14.0}) {
        for (const double sign : {-1.0, 1.0}) {
            CHECK(std::abs(moved_nearer(sign * 4.00, mm) - sign * 4.00) > label_step.value() / 2);
            CHECK(std::abs(moved_nearer(sign * 2.50, mm) - sign * 2.50) < label_step.value() / 2);
        }
    }
}

TEST_CASE("Vertex distance: a label says what was measured, uncorrected") {
    // The lens of X4.
    CHECK(on_label(lens(-10.00, 0, 0)) == lens(-10.00, 0, 0));
    CHECK_FALSE(on_label(moved_nearer(lens(-10.00, 0, 0), 12)) == lens(-10.00, 0, 0));
}

TEST_CASE("Index: a library's page has a misprint that its formula does not give") {
    // X9, ocudigital/opticalc, src/convert_power.rs: -4.463 at 1.523 is -5.00 at 1.586; its npm page prints
    // -4.25.
    const double converted = at_another_index(-4.463, 1.523, 1.586);
    CHECK(converted == near(-5.00, 0.001));
    CHECK(std::abs(converted - -4.25) > 0.7);
}
