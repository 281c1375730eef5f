// Keys and the page.
#include <catch2/catch.hpp>

#include "tests/pairing/day.hpp"

namespace pairmark::pairing::testing {

namespace {
constexpr Settings with_key{.looked_over_earlier = false};
}

TEST_CASE("a pair looked over at an earlier table needs no key") {
    Day day;
    day.both(-1, -1);
    CHECK(day.pair(1).looked_over);
    CHECK(day.table.needs_decision(1));
    day.press(Key::go_on);
    CHECK(day.said("nothing to go on with"));
    CHECK(day.table.needs_decision(1));
}

TEST_CASE("where looking over is a key press, a pair is undecided until it comes") {
    Day day(with_key);
    day.right(-1);
    SECTION("before the second lens") {
        day.press(Key::go_on);
        day.left(-1);
    }
    SECTION("after it") {
        day.left(-1);
        CHECK_FALSE(day.table.needs_decision(1));
        CHECK(day.state(1) == PairState::complete);
        day.press(Key::go_on);
    }
    SECTION("on the page") {
        day.left(-1);
        day.act("in-order");
    }
    SECTION("on the page, by go on for the named pair") {
        day.left(-1);
        day.act("go-on", 1);
    }
    CHECK(day.pair(1).looked_over);
    CHECK(day.table.needs_decision(1));
}

TEST_CASE("a pair that nobody looked over lies in its tray when the next begins, and can be answered later") {
    for (const bool by_answer : {true, false}) {
        Day day(with_key);
        day.both(-1, -1);
        day.right(-2);
        CHECK(day.state(1) == PairState::asking);
        CHECK(day.questions(1) == Words{"not-looked-over"});
        CHECK(day.choices(1) == Words{"in-order"});
        CHECK_FALSE(day.table.needs_decision(1));
        if (by_answer) {
            day.answer(1, "in-order");
        } else {
            day.act("in-order", 1);
        }
        CHECK(day.state(1) == PairState::complete);
        CHECK(day.table.needs_decision(1));
        CHECK(day.at_bench() == 2);
        CHECK_FALSE(day.pair(2).looked_over);
    }
}

TEST_CASE("a change of the setting is for the pairs begun from then on") {
    Day day(with_key);
    day.right(-1);
    day.table.use({.looked_over_earlier = true});
    day.left(-1);
    CHECK_FALSE(day.table.needs_decision(1));
    day.both(-2, -2);
    CHECK(day.table.needs_decision(2));
}

TEST_CASE(
    "the key that turns down takes the pair at the bench while it is undecided, else refuses one by sight") {
    enum class Before {
        nothing,
        marks,
        half,
        complete,
        doubtful,
        decided,
        labelled,
        turned_down,
        asking,
        set_aside
    };
    struct Row {
        Before before;
        bool refuses_it;
    };
    for (const Row& row :
         {Row{Before::nothing, false}, Row{Before::marks, true}, Row{Before::half, true},
          Row{Before::complete, true}, Row{Before::doubtful, true}, Row{Before::decided, false},
          Row{Before::labelled, false}, Row{Before::turned_down, false}, Row{Before::asking, false},
          Row{Before::set_aside, false}}) {
        INFO(static_cast<int>(row.before));
        Day day;
        if (row.before == Before::marks) day.mark({{"rim", "full"}});
        if (row.before > Before::marks) day.right(-1);
        if (row.before == Before::doubtful) day.right(-3);
        if (row.before > Before::half) day.left(-1);
        if (row.before == Before::decided) day.table.settle(1, Decision::keep);
        if (row.before == Before::labelled) day.label(1, "A-1");
        if (row.before == Before::turned_down) day.table.settle(1, Decision::discard);
        if (row.before == Before::asking) day.table.settle(1, Decision::ask);
        if (row.before == Before::set_aside) day.press(Key::set_aside);
        const auto pairs_before = day.table.count();
        const auto state_before = pairs_before > 0 ? day.state(1) : PairState::gone;
        day.press(Key::turn_down);
        CHECK(day.table.count() == pairs_before + (row.refuses_it ? 0 : 1));
        CHECK(day.state(day.table.count()) == PairState::turned_down);
        CHECK(day.pair(day.table.count()).turned_down_because == "");
        CHECK(day.questions(day.table.count()).empty());
        if (!row.refuses_it && pairs_before > 0) CHECK(day.state(1) == state_before);
        CHECK(day.told(What::label_void).empty());
        CHECK(day.table.awaited() == Eye::right);
    }
}

TEST_CASE("the page turns down with a reason, and a labelled pair by its name, voiding its label") {
    Day day;
    day.both(-1, -1);
    day.label(1, "A-1");
    day.act("turn-down", {}, "side broken");
    CHECK(day.pair(2).turned_down_because == "side broken");
    CHECK(day.state(1) == PairState::labelled);
    day.act("turn-down", 1, "lens loose");
    CHECK(day.state(1) == PairState::turned_down);
    CHECK(day.pair(1).turned_down_because == "lens loose");
    CHECK(day.told(What::label_void) == Words{"A-1"});
    CHECK(day.table.number(1).empty());
    day.act("turn-down", 1, "again");
    CHECK(day.said("already"));
    CHECK(day.pair(1).turned_down_because == "lens loose");
}

TEST_CASE("a reading after a turned-down half pair begins the next") {
    Day day;
    day.right(-1);
    day.press(Key::turn_down);
    day.left(-2);
    CHECK(day.pair(2).left->event == 3);
    CHECK_FALSE(day.pair(1).left);
}

TEST_CASE("set aside: the pair lies in its tray with a question that nobody can answer away") {
    Day day;
    day.right(-1);
    SECTION("half") {}
    SECTION("complete") {
        day.left(-1);
    }
    day.press(Key::set_aside);
    CHECK(day.state(1) == PairState::asking);
    CHECK(day.questions(1) == Words{"set-aside"});
    CHECK(day.choices(1).empty());
    CHECK(day.at_bench() == 0);
    CHECK(day.table.latest()->id == 1);
    day.left(-2);
    CHECK(day.pair(2).left);
}

TEST_CASE("set aside with nothing undecided at the bench sets the next pair aside by sight") {
    Day day;
    day.both(-1, -1);
    day.label(1, "A-1");
    day.press(Key::set_aside);
    CHECK(day.state(1) == PairState::labelled);
    CHECK(day.state(2) == PairState::asking);
    CHECK(day.questions(2) == Words{"set-aside"});
    SECTION("and by its name a labelled one, voiding its label") {
        day.act("set-aside", 1);
        CHECK(day.state(1) == PairState::asking);
        CHECK(day.told(What::label_void) == Words{"A-1"});
        day.act("set-aside", 1);
        CHECK(day.said("already"));
    }
}

TEST_CASE("a mark on a labelled pair voids its number and the pair is decided anew, with a new number") {
    Day day;
    day.both(-1, -1);
    day.label(1, "A-1");
    day.mark({{"gold", "yes"}});
    CHECK(day.told(What::label_void) == Words{"A-1"});
    CHECK(day.pair(1).marks.at("gold") == "yes");
    CHECK(day.table.needs_decision(1));
    CHECK(day.table.number(1).empty());
    CHECK(day.pair(1).labels_made == 1);
    day.label(1, "A-1");
    CHECK(day.said("void"));
    CHECK(day.table.number(1).empty());
    day.number(1, "A-2");
    CHECK(day.state(1) == PairState::labelled);
    CHECK(day.pair(1).labels_made == 2);
}

TEST_CASE("a mark is taken whole or not at all") {
    Day day;
    day.right(-1);
    day.mark({{"gold", "yes"}, {"rim", "wobbly"}});
    CHECK(day.said("wobbly"));
    CHECK(day.pair(1).marks.empty());
    CHECK_FALSE(day.changed(1));
    day.mark({});
    CHECK(day.said("No mark"));
    day.mark({{"gold", "yes"}});
    day.mark({{"gold", "no"}, {"rim", "cord"}});
    CHECK(day.pair(1).marks == record::Marks{{"gold", "no"}, {"rim", "cord"}});
}

TEST_CASE(
    "an act without a name is about the pair at the bench, else the latest, and a mark for pair 0 begins the "
    "next") {
    Day day;
    day.mark({{"rim", "full"}});
    CHECK(day.table.count() == 1);
    day.both(-1, -1);
    day.table.settle(1, Decision::ask);
    CHECK(day.at_bench() == 0);
    day.mark({{"gold", "yes"}});
    CHECK(day.pair(1).marks.size() == 2);
    day.mark({{"gold", "no"}}, 0);
    CHECK(day.at_bench() == 2);
    CHECK(day.pair(2).marks.at("gold") == "no");
    day.right(-1);
    CHECK(day.pair(2).right);
}

TEST_CASE("in order for pair 0 begins a pair that is looked over") {
    Day day(with_key);
    day.act("in-order", 0);
    day.both(-1, -1);
    CHECK(day.table.count() == 1);
    CHECK(day.table.needs_decision(1));
}

TEST_CASE("an act that cannot be done is said and changes nothing") {
    struct Row {
        const char* act;
        std::optional<std::int64_t> pair;
        const char* text;
        const char* says;
    };
    for (const Row& row :
         {Row{"answer", 1, "another-pair", "No open question"}, Row{"answer", {}, "\x1b[2J", "\\x1b"},
          Row{"undo", 7, "", "no pair 7"}, Row{"undo", 2, "", "taken back whole"},
          Row{"mark", 2, "", "taken back whole"}, Row{"turn-down", -1, "", "no pair -1"},
          Row{"turn-down", 0, "", "can begin a pair"}, Row{"dance", {}, "", "no act \"dance\""},
          Row{"release", {}, "", "not held"}, Row{"in-order", {}, "", "looked over already"}}) {
        INFO(row.act);
        Day day;
        day.both(-1, -1);
        day.right(-3);
        day.press(Key::undo);  // pair 2 is gone
        day.act(row.act, row.pair, row.text);
        INFO(day.told(What::said).front());
        CHECK(day.said(row.says));
        CHECK(day.changes.size() == 1);
        CHECK(day.state(1) == PairState::complete);
        CHECK(day.table.count() == 2);
    }
}

TEST_CASE("on an empty bench every act but a refusal, a set-aside and a mark is said to be impossible") {
    for (const char* act : {"undo", "answer", "release", "in-order", "go-on"}) {
        Day day;
        day.act(act);
        CHECK(day.said("no pair yet"));
        CHECK(day.table.count() == 0);
    }
    Day day;
    day.press(Key::undo);
    CHECK(day.said("nothing to take back"));
    day.press(Key::undo, true);
    CHECK(day.said("no pair at the bench"));
    day.press(Key::go_on);
    CHECK(day.said("measure the right lens"));
}

}  // namespace pairmark::pairing::testing
