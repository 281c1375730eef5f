#include <catch2/catch.hpp>

#include "tests/pairing/day.hpp"

namespace pairmark::pairing::testing {

TEST_CASE("undo takes back the last act of the open pair, and what is undone to nothing is gone") {
    Day day;
    day.right(-1);
    day.mark({{"rim", "full"}});
    day.press(Key::undo);
    CHECK(day.pair(1).marks.empty());
    CHECK(day.pair(1).right);
    day.press(Key::undo);
    CHECK(day.state(1) == PairState::gone);
    CHECK(day.at_bench() == 0);
    CHECK_FALSE(day.pair(1).right);
    day.right(-2);
    CHECK(day.pair(2).right->event == 5);
}

TEST_CASE("undo of a labelled pair's last act voids its number and makes the pair what it was before") {
    Day day;
    day.right(-1);
    day.left(-2);
    day.label(1, "A-1");
    SECTION("its second lens") {
        day.press(Key::undo);
        CHECK(day.told(What::label_void) == Words{"A-1"});
        CHECK(day.state(1) == PairState::open);
        CHECK_FALSE(day.pair(1).left);
        CHECK(day.table.awaited() == Eye::left);
        day.left(-3);
        CHECK(day.table.needs_decision(1));
    }
    SECTION("a mark") {
        day.mark({{"gold", "yes"}});
        CHECK(day.told(What::label_void) == Words{"A-1"});
        day.label(1, "A-2");
        day.press(Key::undo);
        CHECK(day.told(What::label_void) == Words{"A-2"});
        CHECK(day.pair(1).marks.empty());
        CHECK(day.table.needs_decision(1));  // neither number comes back
        CHECK(day.pair(1).labels_made == 2);
    }
    SECTION("a whole pair from one capture") {
        Day other;
        other.both(-1, -1);
        other.label(1, "A-9");
        other.press(Key::undo);
        CHECK(other.told(What::label_void) == Words{"A-9"});
        CHECK(other.state(1) == PairState::gone);
        CHECK(other.pair(1).labels_made == 1);
    }
}

TEST_CASE("undo on a fresh pair gives the bench back the one before") {
    Day day;
    day.right(-1);
    day.both(-2, -3);
    CHECK(day.questions(1) == Words{"half-pair-left-behind"});
    day.press(Key::undo);
    CHECK(day.state(2) == PairState::gone);
    CHECK(day.at_bench() == 1);
    CHECK(day.questions(1).empty());
    CHECK(day.table.awaited() == Eye::left);
    CHECK(day.changed(1));
    day.left(-1);
    CHECK(day.table.needs_decision(1));
}

TEST_CASE("each act can be taken back") {
    struct Row {
        const char* what;
        void (*before)(Day&);
        void (*act)(Day&);
        std::int64_t pair;
    };
    const Row rows[] = {
        {"a replacing reading", [](Day& d) { d.right(-1); }, [](Day& d) { d.right(-1.25); }, 1},
        {"a doubtful reading", [](Day& d) { d.right(-1); }, [](Day& d) { d.right(-3); }, 1},
        {"a reading behind a doubt", [](Day& d) { d.right(-1), d.right(-3); }, [](Day& d) { d.left(-3); }, 1},
        {"an answer", [](Day& d) { d.right(-1), d.right(-3); }, [](Day& d) { d.answer(1, "same-lens"); }, 1},
        {"another answer", [](Day& d) { d.right(-1), d.right(-3); },
         [](Day& d) { d.answer(1, "other-lens"); }, 1},
        {"a third", [](Day& d) { d.right(-1), d.right(-3); }, [](Day& d) { d.answer(1, "two-places"); }, 1},
        {"an answer that began a pair", [](Day& d) { d.right(-1), d.right(-3); },
         [](Day& d) { d.answer(1, "another-pair"); }, 1},
        {"turning down", [](Day& d) { d.right(-1); }, [](Day& d) { d.press(Key::turn_down); }, 1},
        {"turning a doubtful one down", [](Day& d) { d.right(-1), d.right(-3); },
         [](Day& d) { d.press(Key::turn_down); }, 1},
        {"setting aside", [](Day& d) { d.right(-1); }, [](Day& d) { d.press(Key::set_aside); }, 1},
        {"releasing", [](Day& d) { d.both(-1, -1, {.late = true}); }, [](Day& d) { d.act("release"); }, 1},
        {"a late lens", [](Day& d) { d.right(-1); }, [](Day& d) { d.left(-1, {.late = true}); }, 1},
        {"a lens with centres", [](Day& d) { d.right(-1); }, [](Day& d) { d.left(-1, {.centres_mm = 60}); },
         1},
        {"measuring again", [](Day& d) { d.both(-1, -1), d.both(-1, -2); },
         [](Day& d) { d.answer(2, "measure-again"); }, 2},
        {"taking up again", [](Day& d) { d.right(-1), d.wait_too_long(1); },
         [](Day& d) { d.answer(1, "go-on-with-it"); }, 1},
    };
    for (const Row& row : rows) {
        INFO(row.what);
        Day day;
        row.before(day);
        const record::Pair was = day.pair(row.pair);
        const auto pending = day.table.pending(row.pair);
        const auto superseded = day.table.superseded(row.pair);
        const auto bench = day.at_bench();
        row.act(day);
        day.press(Key::undo);
        const record::Pair& is = day.pair(row.pair);
        CHECK(is.state == was.state);
        CHECK(is.questions == was.questions);
        CHECK(is.right.has_value() == was.right.has_value());
        CHECK(is.left.has_value() == was.left.has_value());
        if (was.right) CHECK(is.right->event == was.right->event);
        CHECK(is.late == was.late);
        CHECK(is.centres_mm == was.centres_mm);
        CHECK(is.turned_down_because == was.turned_down_because);
        CHECK(day.table.pending(row.pair) == pending);
        CHECK(day.table.superseded(row.pair) == superseded);
        CHECK(day.at_bench() == bench);
    }
}

TEST_CASE("a pair refused by sight can be taken back") {
    Day day;
    day.press(Key::turn_down);
    day.press(Key::undo);
    CHECK(day.state(1) == PairState::gone);
}

TEST_CASE("what the rules turned down or asked is again so after a mark was taken back") {
    for (const Decision decision : {Decision::discard, Decision::ask}) {
        Day day;
        day.both(-1, -1);
        day.table.settle(1, decision);
        const PairState was = day.state(1);
        day.mark({{"gold", "yes"}});
        CHECK(day.table.needs_decision(1));
        day.press(Key::undo);
        CHECK(day.state(1) == was);
    }
}

TEST_CASE("an answer that began a pair which went on since is taken back from its end") {
    Day day;
    day.right(-1);
    day.right(-3);
    day.answer(1, "another-pair");
    day.left(-4);
    day.act("undo", 1);
    CHECK(day.said("pair 2, which went on since"));
    CHECK(day.state(1) == PairState::asking);
    CHECK(day.pair(2).left);
    SECTION("with the key, act by act") {
        day.press(Key::undo);
        CHECK_FALSE(day.pair(2).left);
        day.press(Key::undo);
        CHECK(day.state(2) == PairState::gone);
        CHECK(day.at_bench() == 1);
        CHECK(day.questions(1) == Words{"same-lens-twice"});
        CHECK(day.table.pending(1) == std::vector<std::int64_t>{2});
    }
    SECTION("unless the asking pair went on as well") {
        day.mark({{"rim", "full"}}, 1);
        day.press(Key::undo);
        day.press(Key::undo);
        CHECK(day.said("that pair went on since"));
        CHECK(day.pair(2).right);
    }
}

TEST_CASE("the page takes back the last act of an old pair without taking it off its tray") {
    Day day;
    day.right(-1);
    day.left(-2);
    day.label(1, "A-1");
    day.right(-3);
    day.act("undo", 1);
    CHECK(day.told(What::label_void) == Words{"A-1"});
    CHECK(day.state(1) == PairState::asking);
    CHECK(day.questions(1) == Words{"half-pair-left-behind"});
    CHECK(day.at_bench() == 2);
    day.left(-4);
    CHECK(day.pair(2).left);
    CHECK_FALSE(day.pair(1).left);
}

TEST_CASE("a long press takes back the whole pair at the bench, voiding its label once") {
    Day day;
    day.right(-9);
    day.press(Key::turn_down);
    day.right(-1);
    day.right(-1.25);
    day.left(-2);
    day.label(2, "A-1");
    day.press(Key::undo, true);
    CHECK(day.state(2) == PairState::gone);
    CHECK(day.told(What::label_void) == Words{"A-1"});
    CHECK(day.said("taken back whole"));
    CHECK(day.state(1) == PairState::turned_down);
    SECTION("and never one that lies in a tray") {
        day.right(-1);
        day.press(Key::set_aside);
        day.press(Key::undo, true);
        CHECK(day.said("no pair at the bench"));
        CHECK(day.state(3) == PairState::asking);
    }
}

}  // namespace pairmark::pairing::testing
