// Properties of the tolerance tables. Their figures: tests/outside/optics_tolerances.cpp.
#include "host/optics/tolerances.hpp"

#include <catch2/catch.hpp>

#include "host/optics/from_memory_iso_21987.hpp"

using namespace pairmark::optics;

namespace {

constexpr AnsiZ80 editions[] = {AnsiZ80::edition_1999, AnsiZ80::edition_2010, AnsiZ80::edition_2015,
                                AnsiZ80::edition_2020};
constexpr LensDesign designs[] = {LensDesign::single_vision_or_multifocal, LensDesign::progressive};

}  // namespace

TEST_CASE("A tolerance does not depend on the sign of the power") {
    for (int i = 0; i <= 2'500; ++i) {
        const Dioptre power = Dioptre::hundredths(i);
        for (const AnsiZ80 edition : editions) {
            for (const LensDesign design : designs) {
                CHECK(meridian_tolerance(edition, design, power) ==
                      meridian_tolerance(edition, design, -power));
                CHECK(cylinder_tolerance(edition, design, power) ==
                      cylinder_tolerance(edition, design, -power));
            }
            CHECK(axis_tolerance_degrees(edition, power) == axis_tolerance_degrees(edition, -power));
        }
        CHECK(from_memory::meridian_tolerance(power) == from_memory::meridian_tolerance(-power));
        CHECK(from_memory::cylinder_tolerance(power, power) ==
              from_memory::cylinder_tolerance(-power, -power));
        CHECK(from_memory::axis_tolerance_degrees(power) == from_memory::axis_tolerance_degrees(-power));
    }
}

TEST_CASE("A stronger power is never allowed less, a stronger cylinder never a wider axis") {
    for (int i = 1; i < 2'500; ++i) {
        const Dioptre weaker = Dioptre::hundredths(i);
        const Dioptre stronger = Dioptre::hundredths(i + 1);
        CAPTURE(i);
        for (const LensDesign design : designs) {
            const AnsiZ80 edition = AnsiZ80::edition_2015;
            CHECK(*meridian_tolerance(edition, design, weaker) <=
                  *meridian_tolerance(edition, design, stronger));
            // But for the step that the progressive table has at 3.50 D, from 0.18 D to a twentieth.
            if (design != LensDesign::progressive || i != 350) {
                CHECK(*cylinder_tolerance(edition, design, weaker) <=
                      *cylinder_tolerance(edition, design, stronger));
            }
        }
        if (const auto wide = axis_tolerance_degrees(AnsiZ80::edition_2010, weaker)) {
            CHECK(*wide >= *axis_tolerance_degrees(AnsiZ80::edition_2010, stronger));
        }
        CHECK(from_memory::meridian_tolerance(weaker) <= from_memory::meridian_tolerance(stronger));
        CHECK(from_memory::cylinder_tolerance(weaker, weaker) <=
              from_memory::cylinder_tolerance(stronger, weaker));
        CHECK(from_memory::cylinder_tolerance(weaker, weaker) <=
              from_memory::cylinder_tolerance(weaker, stronger));
    }
}

TEST_CASE("A part in a hundred is taken of the power itself, and cut below a millionth") {
    const LensDesign single = LensDesign::single_vision_or_multifocal;
    CHECK(meridian_tolerance(AnsiZ80::edition_2015, single, Dioptre::hundredths(-1'225)) ==
          Dioptre::millionths(245'000));
    CHECK(cylinder_tolerance(AnsiZ80::edition_2015, LensDesign::progressive, Dioptre::nearest(3.5625)) ==
          Dioptre::millionths(178'125));
    CHECK(meridian_tolerance(AnsiZ80::edition_2015, single, Dioptre::millionths(6'500'049)) ==
          Dioptre::millionths(130'000));
}

TEST_CASE("The tolerance itself is allowed, a millionth more is not, either way") {
    const Dioptre tolerance = Dioptre::hundredths(13);
    for (int i = -2'000; i <= 2'000; i += 25) {
        const Dioptre ordered = Dioptre::hundredths(i);
        const Dioptre bit = Dioptre::millionths(1);
        CHECK(is_within(tolerance, ordered, ordered));
        CHECK(is_within(tolerance, ordered + tolerance, ordered));
        CHECK(is_within(tolerance, ordered - tolerance, ordered));
        CHECK_FALSE(is_within(tolerance, ordered + tolerance + bit, ordered));
        CHECK_FALSE(is_within(tolerance, ordered - tolerance - bit, ordered));
    }
}

TEST_CASE("An edition that was not read on something has no value for it") {
    for (const LensDesign design : designs) {
        for (const AnsiZ80 edition : editions) {
            const bool read = edition != AnsiZ80::edition_1999 || design != LensDesign::progressive;
            CHECK(meridian_tolerance(edition, design, Dioptre::hundredths(100)).has_value() == read);
            CHECK(cylinder_tolerance(edition, design, Dioptre::hundredths(100)).has_value() == read);
        }
        CHECK_FALSE(vertical_imbalance_tolerance(AnsiZ80::edition_1999, design));
        CHECK_FALSE(vertical_imbalance_tolerance(AnsiZ80::edition_2020, design));
        CHECK_FALSE(horizontal_imbalance_tolerance(AnsiZ80::edition_1999, design));
        CHECK_FALSE(horizontal_imbalance_tolerance(AnsiZ80::edition_2020, design));
    }
    CHECK_FALSE(vertical_imbalance_tolerance(AnsiZ80::edition_2015, LensDesign::progressive));
    CHECK_FALSE(horizontal_imbalance_tolerance(AnsiZ80::edition_2015, LensDesign::progressive));
    CHECK_FALSE(axis_tolerance_degrees(AnsiZ80::edition_2020, Dioptre::hundredths(100)));
    CHECK_FALSE(addition_tolerance(AnsiZ80::edition_2020, Dioptre::hundredths(200)));
    CHECK_FALSE(prism_reference_tolerance(AnsiZ80::edition_1999));
    CHECK_FALSE(prism_reference_tolerance(AnsiZ80::edition_2020));
    for (const AnsiZ80 edition : editions)
        CHECK_FALSE(axis_tolerance_degrees(edition, Dioptre{}));
}
