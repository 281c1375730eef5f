#include <catch2/catch.hpp>

#include "tests/pairing/day.hpp"

namespace pairmark::pairing::testing {

TEST_CASE("right, then left, is a complete pair that is to be decided") {
    Day day;
    day.right(-1.25);
    CHECK(day.state(1) == PairState::open);
    CHECK_FALSE(day.table.needs_decision(1));
    day.left(-1.50);
    CHECK(day.state(1) == PairState::complete);
    CHECK(day.sphere(1, Eye::right) == -1.25);
    CHECK(day.sphere(1, Eye::left) == -1.50);
    CHECK(day.table.needs_decision(1));
    CHECK(day.changed(1));
    CHECK(day.table.count() == 1);
}

TEST_CASE("right is awaited first, then left, and the bench is told when that changes") {
    Day day;
    CHECK(day.table.awaited() == Eye::right);
    day.right(-1);
    CHECK(day.table.awaited() == Eye::left);
    CHECK(day.told(What::awaiting) == Words{"left"});
    day.left(-1);
    CHECK(day.table.awaited() == Eye::right);
    CHECK(day.told(What::awaiting) == Words{"right"});
    day.mark({{"rim", "full"}});
    CHECK(day.told(What::awaiting).empty());
}

TEST_CASE("a reading without an eye is the awaited one") {
    Day day;
    day.unnamed(-1);
    day.unnamed(-2);
    day.unnamed(-3);
    CHECK(day.sphere(1, Eye::right) == -1);
    CHECK(day.sphere(1, Eye::left) == -2);
    CHECK(day.sphere(2, Eye::right) == -3);
}

TEST_CASE("the eye that the instrument names counts, and the bench says that left came before right") {
    Day day;
    day.left(-2);
    CHECK(day.said("left lens was measured before the right"));
    CHECK(day.sphere(1, Eye::left) == -2);
    CHECK(day.table.awaited() == Eye::right);
    day.unnamed(-1);
    CHECK(day.sphere(1, Eye::right) == -1);
    CHECK_FALSE(day.said("before"));
}

TEST_CASE("a third reading opens the next pair") {
    Day day;
    day.right(-1);
    day.left(-1);
    day.left(-1);
    CHECK(day.table.count() == 2);
    CHECK(day.at_bench() == 2);
    CHECK(day.sphere(2, Eye::left) == -1);
    CHECK(day.table.needs_decision(1));
}

TEST_CASE("what grading says is where the pair goes") {
    struct Row {
        Decision decision;
        PairState state;
        bool at_bench;
    };
    for (const Row& row :
         {Row{Decision::keep, PairState::decided, true}, Row{Decision::discard, PairState::turned_down, true},
          Row{Decision::ask, PairState::asking, false}}) {
        Day day;
        day.both(-1, -1);
        CHECK(day.table.settle(1, row.decision));
        CHECK(day.state(1) == row.state);
        CHECK((day.at_bench() == 1) == row.at_bench);
        CHECK_FALSE(day.table.needs_decision(1));
        CHECK_FALSE(
            day.table.settle(1, Decision::keep));  // settled is settled, whatever rules come into force
        day.happen(record::TextInForce{"rules", "hash", "text"});
        CHECK(day.changes.empty());
        CHECK(day.state(1) == row.state);
    }
}

TEST_CASE("half a pair is never settled") {
    Day day;
    day.right(-1);
    CHECK_FALSE(day.table.settle(1, Decision::keep));
    CHECK_FALSE(day.table.settle(2, Decision::keep));
    CHECK(day.state(1) == PairState::open);
}

TEST_CASE("a number makes a decided pair labelled, and no other") {
    Day day;
    day.right(-1);
    day.number(1, "A-1");
    CHECK(day.said("not decided"));
    CHECK(day.table.number(1).empty());
    day.left(-1);
    day.number(1, "A-1");
    CHECK(day.said("not decided"));
    day.label(1, "A-1");
    CHECK(day.state(1) == PairState::labelled);
    CHECK(day.pair(1).labels_made == 1);
    CHECK(day.table.number(1) == "A-1");
    day.number(1, "A-2");
    CHECK(day.table.number(1) == "A-1");
    day.number(9, "A-3");
    CHECK(day.said("not decided"));
}

TEST_CASE("a capture of both lenses is one complete pair") {
    struct Row {
        std::optional<Eye> first, second;
        double right, left;
    };
    for (const Row& row : {Row{Eye::right, Eye::left, -1, -2}, Row{Eye::left, Eye::right, -2, -1},
                           Row{std::nullopt, std::nullopt, -1, -2}, Row{Eye::left, std::nullopt, -2, -1},
                           Row{std::nullopt, Eye::right, -2, -1}}) {
        Day day;
        day.read({lens(row.first, -1), lens(row.second, -2)}, {.centres_mm = 62.5});
        CHECK(day.state(1) == PairState::complete);
        CHECK(day.sphere(1, Eye::right) == row.right);
        CHECK(day.sphere(1, Eye::left) == row.left);
        CHECK(day.pair(1).centres_mm == 62.5);
    }
}

TEST_CASE("a capture that names one eye twice is half a pair that asks") {
    Day day;
    day.read({lens(Eye::right, -1), lens(Eye::right, -3)});
    CHECK(day.questions(1) == Words{"same-lens-twice"});
    CHECK_FALSE(day.pair(1).left);
    CHECK(day.table.pending(1) == std::vector<std::int64_t>{1});
}

TEST_CASE("a reading of no lens or of three belongs to no pair") {
    Day day;
    day.read({});
    CHECK(day.said("0 lenses"));
    day.read({lens(Eye::right, 1), lens(Eye::left, 1), lens(Eye::left, 1)});
    CHECK(day.said("3 lenses"));
    CHECK(day.table.count() == 0);
}

TEST_CASE("a late reading holds its pair until a person releases it") {
    Day day;
    day.right(-1, {.late = true});
    day.left(-1);
    CHECK(day.pair(1).late);
    CHECK(day.state(1) == PairState::complete);
    CHECK_FALSE(day.table.needs_decision(1));
    CHECK_FALSE(day.table.settle(1, Decision::keep));
    day.act("release");
    CHECK_FALSE(day.pair(1).late);
    CHECK(day.table.needs_decision(1));
    day.act("release");
    CHECK(day.said("not held"));
}

TEST_CASE("events that decide nothing here change nothing") {
    Day day;
    day.right(-1);
    for (const record::EventBody& body :
         {record::EventBody(record::Started{}), record::EventBody(record::TextInForce{}),
          record::EventBody(record::Printed{}), record::EventBody(record::Noted{})}) {
        day.happen(body);
        CHECK(day.changes.empty());
    }
    CHECK(day.state(1) == PairState::open);
}

TEST_CASE("a hundred thousand pairs leave the oldest as it was") {
    Day day;
    for (int pair = 1; pair <= 100'000; ++pair) {
        day.right(-1 - pair % 10);
        day.left(-2);
        day.label(pair, "A-" + std::to_string(pair));
    }
    CHECK(day.table.count() == 100'000);
    CHECK(day.state(1) == PairState::labelled);
    CHECK(day.table.number(1) == "A-1");
    day.act("undo", 1);
    CHECK(day.told(What::label_void) == Words{"A-1"});
    CHECK(day.questions(1) == Words{"half-pair-left-behind"});
    CHECK(day.at_bench() == 100'000);
}

}  // namespace pairmark::pairing::testing
