// What each quantity compares, at its limit and a quarter beside it.
#include <catch2/catch.hpp>

#include "tests/grading/pairs.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using record::Decision;

namespace {

struct Row {
    const char* condition;
    record::Pair pair;
    bool holds;
};

void check(const std::vector<Row>& rows) {
    for (const Row& row : rows) {
        CAPTURE(row.condition);
        CHECK(discards(discarding(row.condition), row.pair) == row.holds);
    }
}

}  // namespace

TEST_CASE("Over and under leave the limit out, at least and at most take it in") {
    const auto pair = [](double cylinder) { return pair_of(measured(1, cylinder, 90), measured(1)); };
    check({{R"({"quantity":"cylinder","over":2})", pair(-2.00), false},
           {R"({"quantity":"cylinder","over":2})", pair(-2.25), true},
           {R"({"quantity":"cylinder","at_least":2})", pair(-2.00), true},
           {R"({"quantity":"cylinder","at_least":2})", pair(-1.75), false},
           {R"({"quantity":"cylinder","lens":"right","under":2})", pair(-2.00), false},
           {R"({"quantity":"cylinder","lens":"right","under":2})", pair(-1.75), true},
           {R"({"quantity":"cylinder","lens":"right","at_most":2})", pair(-2.00), true},
           {R"({"quantity":"cylinder","lens":"right","at_most":2})", pair(-2.25), false}});
}

TEST_CASE("The cylinder is compared by its strength, in whichever form it was measured") {
    check({{R"({"quantity":"cylinder","over":2})", pair_of(measured(1, +2.25, 90), measured(1)), true},
           {R"({"quantity":"cylinder","over":2})", pair_of(measured(1), measured(1, -2.25, 90)), true},
           {R"({"quantity":"cylinder","over":2})", pair_of(measured(1), measured(1, +2.00, 90)), false}});
}

TEST_CASE("A quantity of a lens is taken of either lens, of both, of the right or of the left") {
    const record::Pair right_only = pair_of(measured(1, -3, 90), measured(1));
    const record::Pair both = pair_of(measured(1, -3, 90), measured(1, -3, 90));
    check({{R"({"quantity":"cylinder","over":2})", right_only, true},
           {R"({"quantity":"cylinder","lens":"either","over":2})", right_only, true},
           {R"({"quantity":"cylinder","lens":"both","over":2})", right_only, false},
           {R"({"quantity":"cylinder","lens":"both","over":2})", both, true},
           {R"({"quantity":"cylinder","lens":"right","over":2})", right_only, true},
           {R"({"quantity":"cylinder","lens":"left","over":2})", right_only, false},
           {R"({"quantity":"cylinder","lens":"either","under":2})", right_only, true},
           {R"({"quantity":"cylinder","lens":"both","under":2})", right_only, false},
           {R"({"quantity":"cylinder","lens":"either","under":2})", both, false}});
}

TEST_CASE("Meridians, strengths and spherical equivalents are those of the minus form") {
    // +1.00 / +3.00 x 90 is +4.00 / -3.00 x 180: meridians +4.00 and +1.00, equivalent +2.50.
    const record::Pair pair = pair_of(measured(1, 3, 90), measured(-5));
    check({{R"({"quantity":"largest_meridian","lens":"right","at_least":4})", pair, true},
           {R"({"quantity":"largest_meridian","lens":"right","over":4})", pair, false},
           {R"({"quantity":"smallest_meridian","lens":"right","at_most":1})", pair, true},
           {R"({"quantity":"smallest_meridian","lens":"right","under":1})", pair, false},
           {R"({"quantity":"smallest_meridian","lens":"left","at_most":-5})", pair, true},
           {R"({"quantity":"strongest_power","lens":"left","at_least":5})", pair, true},
           {R"({"quantity":"strongest_power","lens":"right","at_least":4.25})", pair, false},
           {R"({"quantity":"spherical_equivalent","lens":"right","at_least":2.5})", pair, true},
           {R"({"quantity":"spherical_equivalent","lens":"right","over":2.5})", pair, false}});
}

TEST_CASE("The four differences are four quantities: the same pair passes one and fails another") {
    // Crossed cylinders: equivalents alike, but 2.00 D apart along 90 and along 180.
    const record::Pair crossed = pair_of(measured(0, -2, 180), measured(0, -2, 90));
    check({{R"({"quantity":"difference_spherical_equivalent","over":0})", crossed, false},
           {R"({"quantity":"difference_sphere","over":0})", crossed, false},
           {R"({"quantity":"difference_any_meridian","at_least":2})", crossed, true},
           {R"({"quantity":"difference_any_meridian","over":2})", crossed, false},
           {R"({"quantity":"difference_vertical","at_least":2})", crossed, true},
           {R"({"quantity":"difference_vertical","over":2})", crossed, false}});
    // Crossed at 45 and 135: nothing vertically.
    const record::Pair oblique = pair_of(measured(0, -2, 45), measured(0, -2, 135));
    check({{R"({"quantity":"difference_any_meridian","at_least":2})", oblique, true},
           {R"({"quantity":"difference_vertical","over":0})", oblique, false}});
}

TEST_CASE("Vertical difference of a published pair: 2.00 D (McCarthy, Back to basics in dispensing 8)") {
    const record::Pair pair = pair_of(measured(2.00, -1.75, 180), measured(2.75, -1.00, 135));
    check({{R"({"quantity":"difference_vertical","at_least":2})", pair, true},
           {R"({"quantity":"difference_vertical","over":2})", pair, false}});
}

TEST_CASE(
    "Published thresholds for one-power pairs can be said (IAPB School Eye Health Guidelines: difference of "
    "equivalents below 1.00 D, cylinder at most 0.75 D, equivalents within 3.50 D)") {
    const grading::Rules rules = discarding(R"({"any":[
        {"quantity":"difference_spherical_equivalent","at_least":1},
        {"quantity":"cylinder","over":0.75},
        {"quantity":"spherical_equivalent","over":3.5},
        {"quantity":"spherical_equivalent","under":-3.5}]})");
    CHECK_FALSE(discards(rules, pair_of(measured(-3.00, -0.75, 90), measured(-3.50))));
    CHECK_FALSE(discards(rules, pair_of(measured(+3.50), measured(+2.75))));
    CHECK(discards(rules, pair_of(measured(-1.00), measured(-2.00))));
    CHECK(discards(rules, pair_of(measured(-1.00, -1.00, 90), measured(-1.00))));
    CHECK(discards(rules, pair_of(measured(-3.75), measured(-3.50))));
    CHECK(discards(rules, pair_of(measured(+3.50), measured(+3.75))));
}

TEST_CASE("Rules act on the label's values, and a rule may ask for the measured ones") {
    // -2.10 stands as -2.00 on the label.
    const record::Pair pair = pair_of(measured(1, -2.10, 90), measured(1));
    check({{R"({"quantity":"cylinder","over":2})", pair, false},
           {R"({"quantity":"cylinder","over":2,"measured":false})", pair, false},
           {R"({"quantity":"cylinder","over":2,"measured":true})", pair, true}});
    const record::Pair spheres = pair_of(measured(-1.12), measured(-0.12));  // label: -1.00 and 0.00
    check({{R"({"quantity":"difference_sphere","at_least":1})", spheres, true},
           {R"({"quantity":"difference_sphere","at_least":1,"measured":true})", spheres, true},
           {R"({"quantity":"smallest_meridian","under":-1,"measured":true})", spheres, true},
           {R"({"quantity":"smallest_meridian","under":-1})", spheres, false}});
}

TEST_CASE("Additions and the centre distance are compared where they are known") {
    record::Pair pair = pair_of(measured(1, 0, 0, 2.25), measured(1, 0, 0, 2.00));
    pair.centres_mm = 62.5;
    check({{R"({"quantity":"addition","over":2})", pair, true},
           {R"({"quantity":"addition","lens":"both","over":2})", pair, false},
           {R"({"quantity":"addition","lens":"left","at_least":2})", pair, true},
           {R"({"quantity":"centre_distance","at_least":62.5})", pair, true},
           {R"({"quantity":"centre_distance","under":62.5})", pair, false}});
}

TEST_CASE("A difference of exactly the limit is not over it, at whatever axis it stands") {
    const grading::Rules rules = discarding(R"({"quantity":"difference_any_meridian","over":1.5})");
    for (int axis = 1; axis <= 180; ++axis) {
        CAPTURE(axis);
        CHECK_FALSE(discards(rules, pair_of(measured(0, -1.50, axis), measured(0))));
        CHECK_FALSE(discards(rules, pair_of(measured(1.00, -0.50, axis), measured(0.00, -1.00, axis))));
        CHECK(discards(rules, pair_of(measured(0, -1.75, axis), measured(0))));
    }
}

TEST_CASE("A cylinder of -4.50 is too strong to keep (common practice, no published source)") {
    const record::Verdict verdict =
        grading::grade(example_rules(), pair_of(measured(-1, -4.50, 90), measured(-1, -4.50, 90)));
    CHECK(verdict.decision == Decision::discard);
    REQUIRE(verdict.reasons.size() == 1);
    CHECK(verdict.reasons[0].rule == "strong-cylinder");
    CHECK(verdict.reasons[0].value == "4.50");
    CHECK(verdict.reasons[0].limit == "2.00");
    CHECK(verdict.reasons[0].value_is_number);
}

TEST_CASE(
    "The label's lenses are in minus cylinder and in steps of 0.25 D (common practice, no published "
    "source)") {
    const record::Verdict verdict =
        grading::grade(example_rules(), pair_of(measured(-1.10, +0.55, 10), measured(+1.00, +1.00, 90)));
    CHECK(verdict.right == measured(-0.50, -0.50, 100).reading.power);
    CHECK(verdict.left == measured(+2.00, -1.00, 180).reading.power);
}
