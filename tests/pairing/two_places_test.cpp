// Two readings of one lens that say that its power varies; and the lens meter's own check.
#include <catch2/catch.hpp>

#include "tests/pairing/day.hpp"

using namespace pairmark::pairing;
using namespace pairmark::pairing::testing;
namespace record = pairmark::record;

TEST_CASE(
    "A second reading with 0.50 D more plus puts another place of the lens first (common practice, no "
    "published source)") {
    struct Row {
        double first, second;
        const char* go_on;
    };
    for (const Row& row : {Row{-1, -0.50, "two-places"}, Row{-1, 1, "two-places"},
                           Row{-1, -0.625, "same-lens"}, Row{-1, -2, "same-lens"}}) {
        CAPTURE(row.first, row.second);
        Day day;
        day.right(row.first);
        day.right(row.second);
        REQUIRE(day.questions(1) == Words{"same-lens-twice"});
        CHECK(day.choices(1).front() == row.go_on);
        auto choices = day.choices(1);
        std::sort(choices.begin(), choices.end());
        CHECK(choices == Words{"another-pair", "other-lens", "same-lens", "two-places"});
    }
}

TEST_CASE("More plus in one meridian only is no second place") {
    Day day;
    day.read({lens(Eye::right, -1)});
    day.read({lens(Eye::right, 0, -1, 90)});  // as before in one meridian, +1.00 in the other
    CHECK(day.choices(1).front() == "same-lens");
}

TEST_CASE("A lens of two powers cannot be marked as single vision, and its first reading counts") {
    Day day;
    day.right(-1);
    day.right(0.75);
    day.press(Key::go_on);
    CHECK(day.pair(1).power_varies);
    CHECK(day.sphere(1, Eye::right) == -1);
    day.left(-1);
    day.mark({{"lens_type", "single"}});
    CHECK(day.said("not single vision; nothing was changed"));
    CHECK_FALSE(day.pair(1).marks.contains("lens_type"));
    day.mark({{"lens_type", "progressive"}});
    CHECK(day.table.needs_decision(1));
    day.mark({{"lens_type", "single"}});
    CHECK(day.pair(1).marks.at("lens_type") == "progressive");
    for (int step = 0; step < 3; ++step)
        day.press(Key::undo);
    CHECK_FALSE(day.pair(1).power_varies);
    day.mark({{"lens_type", "single"}});
    CHECK(day.pair(1).marks.at("lens_type") == "single");
}

TEST_CASE("Where the first place has the more plus, neither reading is the lens's power") {
    Day day;
    day.right(1);
    day.right(-1);
    day.answer(1, "two-places");
    CHECK(day.said("measure the right lens again"));
    CHECK(day.pair(1).power_varies);
    CHECK_FALSE(day.pair(1).right);
    CHECK(day.table.superseded(1) == std::vector<std::int64_t>{2, 1});
    CHECK(day.table.awaited() == Eye::right);
    SECTION("the distance part, measured again, is") {
        day.right(-1.25);
        day.left(-1);
        day.mark({{"lens_type", "segment"}});
        CHECK(day.table.needs_decision(1));
        CHECK(day.sphere(1, Eye::right) == -1.25);
    }
    SECTION("left behind, it is half a pair with its question") {
        day.left(-1);
        day.mark({{"lens_type", "segment"}});
        day.both(2, 2);
        CHECK(day.questions(1) == Words{"half-pair-left-behind"});
        CHECK_FALSE(day.table.needs_decision(1));
    }
    SECTION("undone, the doubt is back") {
        day.press(Key::undo);
        CHECK(day.sphere(1, Eye::right) == 1);
        CHECK(day.questions(1) == Words{"same-lens-twice"});
        CHECK_FALSE(day.pair(1).power_varies);
    }
}

TEST_CASE("Each lens carries what the last check of the lens meter said when it was measured") {
    Day day;
    const auto check = [&day](const char* result) { day.act("instrument-check", {}, result); };
    CHECK(day.table.instrument_check() == record::InstrumentCheck::due);
    day.right(-1);
    check("passed");
    CHECK(day.said("shows what it should"));
    day.left(-1);
    CHECK(day.pair(1).right->check == record::InstrumentCheck::due);
    CHECK(day.pair(1).left->check == record::InstrumentCheck::passed);
    check("failed");
    CHECK(day.said("measure nothing with it"));
    day.both(-2, -2);
    CHECK(day.pair(2).left->check == record::InstrumentCheck::failed);
    check("passed");
    day.happen(record::TimedOut{"instrument-check", 0});
    day.right(-3);
    CHECK(day.pair(3).right->check == record::InstrumentCheck::due);
    CHECK(day.pair(1).left->check == record::InstrumentCheck::passed);
}
