// Properties of the rounding. The table of lenses rounded by hand is
// tests/outside/optics_rounding_by_hand.cpp.
#include "host/optics/rounding.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>

#include "host/optics/transpose.hpp"
#include "tests/optics/lenses.hpp"

using namespace pairmark::optics;
using pairmark::tests::any_lens;
using pairmark::tests::lens;

TEST_CASE(
    "What stands on a label is a quarter from nothing measured: no power moves by more than half a step") {
    pairmark::tests::Random random(1);
    for (int i = 0; i < 50'000; ++i) {
        const Power measured = to_minus_cylinder(any_lens(random));
        const Power label = on_label(measured);
        CAPTURE(measured.sphere.value(), measured.cylinder.value(), measured.axis);
        CHECK(is_on_grid(label));
        CHECK(label.cylinder <= Dioptre{});
        CHECK(std::abs((label.sphere - measured.sphere).in_millionths()) <= 125'000);
        CHECK(std::abs((label.cylinder - measured.cylinder).in_millionths()) <= 125'000);
        if (label.cylinder == Dioptre{}) {
            CHECK(label.axis == 0);
        } else {
            CHECK((label.axis >= 1 && label.axis <= 180 && label.axis == std::floor(label.axis)));
        }
    }
}

TEST_CASE("To whatever step a lens is rounded, no power moves by more than half of it") {
    pairmark::tests::Random random(11);
    for (const std::int64_t step : {10'000, 62'500, 125'000, 250'000, 500'000}) {
        for (int i = 0; i < 10'000; ++i) {
            const Power measured = to_minus_cylinder(any_lens(random));
            const Power rounded = on_label(measured, Dioptre::millionths(step));
            CAPTURE(measured.sphere.value(), measured.cylinder.value(), step);
            CHECK(is_on_grid(rounded, Dioptre::millionths(step)));
            CHECK(2 * std::abs((rounded.sphere - measured.sphere).in_millionths()) <= step);
            CHECK(2 * std::abs((rounded.cylinder - measured.cylinder).in_millionths()) <= step);
        }
    }
}

TEST_CASE("A label's lens, rounded again, is the same lens") {
    pairmark::tests::Random random(2);
    for (int i = 0; i < 20'000; ++i) {
        const Power label = on_label(any_lens(random));
        CHECK(on_label(label) == label);
    }
}

TEST_CASE("The cylinder form in which a lens was shown makes no difference to its label") {
    pairmark::tests::Random random(3);
    for (int i = 0; i < 20'000; ++i) {
        const Power measured = any_lens(random);
        CAPTURE(measured.sphere.value(), measured.cylinder.value(), measured.axis);
        CHECK(on_label(to_plus_cylinder(measured)) == on_label(to_minus_cylinder(measured)));
    }
}

TEST_CASE("No neighbouring quarter serves better than the one taken, by the order of the trade's criteria") {
    pairmark::tests::Random random(4);
    const Dioptre quarter = label_step;
    for (int i = 0; i < 20'000; ++i) {
        const Power measured = to_minus_cylinder(any_lens(random));
        const Power label = on_label(measured);
        const auto size = [](Dioptre a, Dioptre b) { return std::abs((a - b).in_millionths()); };
        const auto off = [&](Dioptre s, Dioptre c) {
            return std::abs(2 * (s - measured.sphere).in_millionths() +
                            (c - measured.cylinder).in_millionths());
        };
        for (const Dioptre s : {label.sphere - quarter, label.sphere, label.sphere + quarter}) {
            for (const Dioptre c : {label.cylinder - quarter, label.cylinder, label.cylinder + quarter}) {
                if (c > Dioptre{} || (s == label.sphere && c == label.cylinder)) continue;
                const bool both_nearest =
                    size(s, measured.sphere) <= size(label.sphere, measured.sphere) &&
                    size(c, measured.cylinder) <= size(label.cylinder, measured.cylinder);
                if (!both_nearest) continue;
                CAPTURE(measured.sphere.value(), measured.cylinder.value(), s.value(), c.value());
                const auto here = off(label.sphere, label.cylinder);
                const auto there = off(s, c);
                CHECK(here <= there);
                if (here == there) CHECK(label.cylinder >= c);
                if (here == there && label.cylinder == c) CHECK(label.sphere > s);
            }
        }
    }
}

TEST_CASE("A lens rounds to other steps too") {
    CHECK(on_label(lens(-4.72, +1.20, 128), Dioptre::nearest(0.125)) == lens(-3.50, -1.25, 38));
    CHECK(on_label(lens(+0.13, -0.20, 12), Dioptre::nearest(0.125)) == lens(+0.125, -0.25, 12));
    CHECK(on_label(lens(+0.123, 0, 0), Dioptre::hundredths(1)) == lens(+0.12, 0, 0));
}

TEST_CASE(
    "Cut eighths are repaired, and nothing else is touched (from memory: 1/8 D steps are shown cut to two "
    "digits)") {
    struct Row {
        double shown, meant;
    };
    for (const Row& row :
         {Row{0.12, 0.125}, Row{0.37, 0.375}, Row{0.62, 0.625}, Row{0.87, 0.875}, Row{-0.12, -0.125},
          Row{-3.87, -3.875}, Row{12.37, 12.375}, Row{0, 0}, Row{0.25, 0.25}, Row{-0.5, -0.5},
          Row{0.13, 0.13}, Row{0.38, 0.38}, Row{0.125, 0.125}, Row{-4.72, -4.72}, Row{0.11, 0.11}}) {
        CAPTURE(row.shown);
        CHECK(repair_cut_eighth(Dioptre::nearest(row.shown)) == Dioptre::nearest(row.meant));
    }
    CHECK(repair_cut_eighths(lens(-1.12, +0.62, 33)) == lens(-1.125, +0.625, 33));
}

TEST_CASE("The nearest millionth of a number read from text is that number") {
    CHECK(Dioptre::nearest(0.12) == Dioptre::hundredths(12));
    CHECK(Dioptre::nearest(-15.5) == Dioptre::hundredths(-1550));
    CHECK(Dioptre::nearest(0.0625).in_millionths() == 62'500);
    CHECK(Dioptre::nearest(-0.0) == Dioptre{});
    CHECK_FALSE(std::signbit(Dioptre::nearest(-0.0).value()));
}
