// How the trade writes a lens: axis, plano, steps.
#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include "host/label/words.hpp"
#include "host/optics/prism.hpp"
#include "host/optics/rounding.hpp"
#include "host/optics/transpose.hpp"
#include "tests/optics/lenses.hpp"
#include "tests/optics/near.hpp"

using namespace pairmark::optics;
using pairmark::label::plain_signs;
using pairmark::label::printed_signs;
using pairmark::label::text_of;
using pairmark::tests::lens;
using pairmark::tests::near;

TEST_CASE("Axis: zero, direction and viewpoint are those of ISO 8429, alike for both eyes") {
    // T21, ISO 8429:1986, clause 2: zero at the observer's right, counter-clockwise, 90 vertical, seen by
    // somebody who looks at the wearer. Along its axis a cylinder has no prism; at 45 degrees the axis runs
    // up and to the observer's right, which is the nose's side of the right lens and the temple's of the
    // left.
    const Power cylinder = lens(0, +2.00, 45);
    const VisualPoint up_and_in{.in_from_centre_mm = 3, .up_from_centre_mm = 3};
    const VisualPoint up_and_out{.in_from_centre_mm = -3, .up_from_centre_mm = 3};
    CHECK(resultant(prismatic_effect(cylinder, LensOf::right_eye, up_and_in)) == near(0, 1e-12));
    CHECK(resultant(prismatic_effect(cylinder, LensOf::right_eye, up_and_out)) > 0.8);
    CHECK(resultant(prismatic_effect(cylinder, LensOf::left_eye, up_and_out)) == near(0, 1e-12));
    CHECK(resultant(prismatic_effect(cylinder, LensOf::left_eye, up_and_in)) > 0.8);
    // 180 is horizontal, 90 vertical.
    const VisualPoint in{.in_from_centre_mm = 3, .up_from_centre_mm = 0};
    const VisualPoint up{.in_from_centre_mm = 0, .up_from_centre_mm = 3};
    CHECK(resultant(prismatic_effect(lens(0, +2.00, 180), LensOf::right_eye, in)) == near(0, 1e-12));
    CHECK(resultant(prismatic_effect(lens(0, +2.00, 90), LensOf::right_eye, up)) == near(0, 1e-12));
}

TEST_CASE("Axis: a number from 0 to 180, a prism base from 0 to 360, as in ISO 8429") {
    // T22, ISO 8429:1986, clause 2.
    for (int degrees = -720; degrees <= 720; ++degrees) {
        CAPTURE(degrees);
        const double axis = turned_into_range(degrees);
        CHECK((axis > 0 && axis <= 180));
        CHECK(std::remainder(axis - degrees, 180) == 0);
    }
    // Each quarter of the circle is told apart: up and down, in and out.
    for (const LensOf eye : {LensOf::right_eye, LensOf::left_eye}) {
        for (const double in : {-1.0, 1.0}) {
            for (const double up : {-1.0, 1.0}) {
                const double setting = base_setting({.base_in = in, .base_up = up}, eye);
                CHECK((setting >= 0 && setting < 360));
                CHECK((setting < 180) == (up > 0));
            }
        }
    }
}

TEST_CASE("Axis: 180 is written, never 0") {
    // T23, trade convention (opterio.com, prescription-transposition-abo: 1 to 180, never 0); ISO 8429:1986
    // as read leaves both.
    CHECK(to_minus_cylinder(lens(+1.00, -1.00, 0)) == lens(+1.00, -1.00, 180));
    CHECK(to_minus_cylinder(lens(+1.00, +1.00, 0)) == lens(+2.00, -1.00, 90));
    CHECK(on_label(lens(+1.00, -1.00, 0)).axis == 180);
    CHECK(text_of(on_label(lens(+2.00, +1.00, 90)), plain_signs) == "+3.00-1.00X180");
    CHECK(text_of(lens(+1.00, -1.00, 0), plain_signs) == "+1.00-1.00X180");
}

TEST_CASE("Axis: without a cylinder it is ignored and not written") {
    // T24, opticalc test pure_spheres_add.
    CHECK(to_minus_cylinder(lens(+1.25, 0, 77)) == to_minus_cylinder(lens(+1.25, 0, 12)));
    CHECK(on_label(lens(+1.25, 0, 77)) == lens(+1.25, 0, 0));
    CHECK(text_of(on_label(lens(+1.25, 0, 77)), plain_signs) == "+1.25DS");
}

TEST_CASE("Plano: 0.00 beside a cylinder, DS without one") {
    // T25, opticaltraining.com Lens_Form_Analysis page nine (Pl, also 0.00); simplysuns.co.uk prescriptions;
    // DS or SPH for a sphere alone. Of the writings that are read there the label uses 0.00 and DS.
    CHECK(text_of(lens(0, -2.00, 30), printed_signs) == "0.00 \u22122.00 \u00d7 030");
    CHECK(text_of(lens(+2.00, 0, 0), printed_signs) == "+2.00 DS");
    CHECK(text_of(lens(0, 0, 0), printed_signs) == "0.00 DS");
}

TEST_CASE("Step: the numbers of a label are quarters, as those of a prescription") {
    // T26, HL7 FHIR R4 VisionPrescription: units of 0.25.
    CHECK(label_step.value() == 0.25);
    CHECK(on_label(lens(-1.30, -0.60, 12)) == lens(-1.25, -0.50, 12));
}
