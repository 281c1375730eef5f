// Readings that do not fit, and what a person's answer makes of them.
#include <catch2/catch.hpp>

#include "tests/pairing/day.hpp"

namespace pairmark::pairing::testing {

using Events = std::vector<std::int64_t>;

TEST_CASE("a second reading of an eye replaces the first within 0.25 D in every meridian, else asks") {
    struct Row {
        const char* what;
        record::LensReading first, second;
        bool replaces;
    };
    // Differences worked out by hand: |dM| + |dJ|.
    const Row rows[] = {
        {"the same", lens(Eye::right, -1), lens(Eye::right, -1), true},
        {"a step of sphere", lens(Eye::right, -1), lens(Eye::right, -1.25), true},
        {"two steps of sphere", lens(Eye::right, -1), lens(Eye::right, -1.50), false},
        {"a step of cylinder: 0.125 + 0.125", lens(Eye::right, 0), lens(Eye::right, 0, -0.25, 40), true},
        {"sphere and cylinder a step: 0.375 + 0.125", lens(Eye::right, 0), lens(Eye::right, -0.25, -0.25, 40),
         false},
        {"the other form of the same lens", lens(Eye::right, -1, -1, 180), lens(Eye::right, -2, 1, 90), true},
        {"cylinder 2.00 turned by 3 degrees: 2 sin 3 = 0.105", lens(Eye::right, 0, -2, 90),
         lens(Eye::right, 0, -2, 93), true},
        {"cylinder 2.00 turned by 8 degrees: 2 sin 8 = 0.278", lens(Eye::right, 0, -2, 90),
         lens(Eye::right, 0, -2, 98), false},
        {"0.26 D", lens(Eye::right, -1), lens(Eye::right, -1.26), false},
    };
    for (const Row& row : rows) {
        INFO(row.what);
        Day day;
        day.read({row.first});
        day.read({row.second});
        CHECK(day.table.count() == 1);
        if (row.replaces) {
            CHECK(day.pair(1).right->event == 2);
            CHECK(day.pair(1).right->reading == row.second);
            CHECK(day.table.superseded(1) == Events{1});
            CHECK(day.questions(1).empty());
            CHECK(day.said("the newer reading counts"));
        } else {
            CHECK(day.pair(1).right->event == 1);
            CHECK(day.table.pending(1) == Events{2});
            CHECK(day.questions(1) == Words{"same-lens-twice"});
            CHECK(day.choices(1) == Words{"same-lens", "other-lens", "another-pair", "two-places"});
        }
        CHECK(day.table.awaited() == Eye::left);
    }
}

TEST_CASE("a second reading never loses or changes an addition without asking") {
    struct Row {
        std::optional<double> first, second;
        bool replaces;
    };
    for (const Row& row : {Row{{}, 2.0, true}, Row{2.0, {}, false}, Row{2.0, 2.25, true},
                           Row{2.0, 2.5, false}, Row{2.5, 2.0, false}}) {
        Day day;
        auto first = lens(Eye::right, -1), second = first;
        if (row.first) first.addition = optics::Dioptre::nearest(*row.first);
        if (row.second) second.addition = optics::Dioptre::nearest(*row.second);
        day.read({first});
        day.read({second});
        CHECK(day.questions(1).empty() == row.replaces);
    }
}

TEST_CASE(
    "while the same lens twice is in question the other lens still completes the pair, which is not "
    "decided") {
    Day day;
    day.right(-1);
    day.right(-3);
    day.left(-2);
    CHECK(day.state(1) == PairState::complete);
    CHECK(day.table.pending(1) == Events{2});
    CHECK_FALSE(day.table.needs_decision(1));
    CHECK_FALSE(day.table.settle(1, Decision::keep));
    SECTION("and the next reading opens the next pair, this one lying in its tray") {
        day.right(-5);
        CHECK(day.state(1) == PairState::asking);
        CHECK(day.at_bench() == 2);
        CHECK(day.questions(1) == Words{"same-lens-twice"});
        SECTION("where it can be answered later") {
            day.answer(1, "same-lens");
            CHECK(day.state(1) == PairState::complete);
            CHECK(day.table.needs_decision(1));
            CHECK(day.sphere(1, Eye::right) == -3);
            CHECK(day.at_bench() == 2);
        }
    }
}

TEST_CASE(
    "a further reading that agrees with the one in question takes its place, and one that fits neither "
    "begins a "
    "pair") {
    Day day;
    day.right(-1);
    day.right(-3);
    day.right(-3.25);
    CHECK(day.table.pending(1) == Events{3});
    CHECK(day.table.superseded(1) == Events{2});
    day.right(-1);
    CHECK(day.state(1) == PairState::asking);
    CHECK(day.at_bench() == 2);
    CHECK(day.pair(2).right->event == 4);
}

TEST_CASE("same lens: the newer counts") {
    Day day;
    day.right(-1);
    day.right(-3);
    day.answer(1, "same-lens");
    CHECK(day.sphere(1, Eye::right) == -3);
    CHECK(day.table.superseded(1) == Events{1});
    CHECK(day.questions(1).empty());
    CHECK(day.state(1) == PairState::open);
}

TEST_CASE("go on answers with the first choice") {
    Day day;
    day.right(-1);
    day.right(-3);
    day.press(Key::go_on);
    CHECK(day.sphere(1, Eye::right) == -3);
    CHECK(day.questions(1).empty());
}

TEST_CASE("other lens: the eye key was not changed") {
    Day day;
    day.right(-1);
    day.right(-3);
    SECTION("and the pair is complete") {
        day.answer(1, "other-lens");
        CHECK(day.sphere(1, Eye::right) == -1);
        CHECK(day.sphere(1, Eye::left) == -3);
        CHECK(day.table.needs_decision(1));
    }
    SECTION("and an agreeing reading of that lens, taken since, is the newer") {
        day.left(-3.25);
        day.answer(1, "other-lens");
        CHECK(day.pair(1).left->event == 3);
        CHECK(day.table.superseded(1) == Events{2});
        CHECK(day.table.needs_decision(1));
    }
    SECTION("and a differing reading of that lens, taken since, asks in its turn") {
        day.left(-5);
        day.answer(1, "other-lens");
        CHECK(day.pair(1).left->event == 2);
        CHECK(day.table.pending(1) == Events{3});
        CHECK(day.questions(1) == Words{"same-lens-twice"});
        day.answer(1, "same-lens");
        CHECK(day.sphere(1, Eye::left) == -5);
        CHECK(day.table.needs_decision(1));
    }
}

TEST_CASE("another pair: the reading, and every one after it, begins the next pair") {
    Day day;
    day.right(-1, {.centres_mm = 60});
    day.right(-3);
    SECTION("at once") {
        day.answer(1, "another-pair");
        CHECK(day.at_bench() == 2);
        CHECK(day.pair(2).right->event == 2);
        CHECK(day.pair(1).centres_mm == 60.0);
        CHECK(day.table.awaited() == Eye::left);
    }
    SECTION("with the lens measured since") {
        day.left(-4, {.centres_mm = 64});
        day.answer(1, "another-pair");
        CHECK_FALSE(day.pair(1).left);
        CHECK(day.pair(2).left->event == 3);
        CHECK(day.pair(2).centres_mm == 64.0);
        CHECK_FALSE(day.pair(1).centres_mm);
        CHECK(day.table.needs_decision(2));
    }
    SECTION("also when the bench went on meanwhile") {
        day.left(-4);
        day.right(-9);
        day.answer(1, "another-pair");
        CHECK(day.pair(3).right->event == 2);
        CHECK(day.pair(3).left->event == 3);
        CHECK(day.table.needs_decision(3));
        CHECK(day.at_bench() == 2);
        CHECK(day.table.awaited() == Eye::left);
    }
    CHECK(day.state(1) == PairState::asking);
    CHECK(day.questions(1) == Words{"half-pair-left-behind"});
}

TEST_CASE("two places of one lens: the first counts, and the pair asks until its kind is marked") {
    Day day;
    day.right(-1);
    day.right(1);
    day.answer(1, "two-places");
    day.left(-1);
    CHECK(day.sphere(1, Eye::right) == -1);
    CHECK(day.table.superseded(1) == Events{2});
    CHECK(day.questions(1) == Words{"two-places"});
    CHECK(day.choices(1).empty());
    CHECK_FALSE(day.table.needs_decision(1));
    day.mark({{"lens_type", "single"}});
    CHECK_FALSE(day.pair(1).marks.contains("lens_type"));
    CHECK(day.questions(1) == Words{"two-places"});
    day.mark({{"lens_type", "progressive"}});
    CHECK(day.questions(1).empty());
    CHECK(day.table.needs_decision(1));
    CHECK_FALSE(day.pair(1).right->reading.addition);  // never worked out from the two readings
}

TEST_CASE("a capture of both lenses is held when an eye equals, raw, that eye of the pair before") {
    struct Row {
        const char* what;
        double right, left;
        record::Source source;
        bool held;
    };
    for (const Row& row : {Row{"both new", -3, -4, record::Source::instrument, false},
                           Row{"right as before", -1, -4, record::Source::instrument, true},
                           Row{"left as before", -3, -2, record::Source::instrument, true},
                           Row{"both as before", -1, -2, record::Source::instrument, true},
                           Row{"exchanged", -2, -1, record::Source::instrument, false},
                           Row{"a hundredth off", -1.01, -4, record::Source::instrument, false},
                           Row{"typed", -1, -4, record::Source::typed, false}}) {
        INFO(row.what);
        Day day;
        day.both(-1, -2);
        day.press(Key::turn_down);  // even when turned down: the instrument still shows it
        day.press(Key::turn_down);  // and the next was refused by sight: it never reached the instrument
        day.both(row.right, row.left, {.source = row.source});
        CHECK(day.questions(3) == (row.held ? Words{"not-cleared"} : Words{}));
        CHECK(day.table.needs_decision(3) == !row.held);
    }
}

TEST_CASE("lenses measured one by one may equal those of the pair before") {
    Day day;
    day.both(-1, -2);
    day.right(-1);
    day.left(-2);
    CHECK(day.table.needs_decision(2));
}

TEST_CASE("an instrument that was not cleared: measured again, or the same powers indeed") {
    Day day;
    day.both(-1, -2);
    day.both(-3, -2, {.centres_mm = 60});
    CHECK(day.choices(2) == Words{"measure-again", "same-powers"});
    SECTION("same powers") {
        day.answer(2, "same-powers");
        CHECK(day.table.needs_decision(2));
    }
    SECTION("measured again, in one capture") {
        day.answer(2, "measure-again");
        CHECK(day.state(2) == PairState::open);
        CHECK(day.table.superseded(2) == Events{2});
        CHECK_FALSE(day.pair(2).centres_mm);
        day.both(-3, -4);
        CHECK(day.table.count() == 2);
        CHECK(day.table.needs_decision(2));
    }
    SECTION("in its tray, where it stays with the question why it has no lens") {
        day.both(-5, -6);
        CHECK(day.state(2) == PairState::asking);
        day.answer(2, "measure-again");
        CHECK(day.questions(2) == Words{"half-pair-left-behind"});
        CHECK(day.at_bench() == 3);
    }
}

TEST_CASE("half a pair that waited too long asks, and is never joined silently") {
    Day day;
    day.right(-1);
    day.wait_too_long(1);
    CHECK(day.state(1) == PairState::asking);
    CHECK(day.questions(1) == Words{"half-pair-old"});
    CHECK(day.at_bench() == 0);
    CHECK(day.table.awaited() == Eye::right);
    SECTION("the next reading begins the next pair") {
        day.left(-2);
        CHECK(day.pair(2).left->event == 3);
        CHECK_FALSE(day.pair(1).left);
        SECTION("while which the old one is not taken up again") {
            day.answer(1, "go-on-with-it");
            CHECK(day.said("finish it first"));
            CHECK(day.state(1) == PairState::asking);
        }
        SECTION("and after which it can be") {
            day.right(-2);
            day.answer(1, "go-on-with-it");
            CHECK(day.at_bench() == 1);
            day.left(-1);
            CHECK(day.table.needs_decision(1));
            CHECK(day.table.needs_decision(2));
        }
    }
    SECTION("unless a person says to go on with it") {
        day.press(Key::go_on);
        CHECK(day.at_bench() == 1);
        CHECK(day.state(1) == PairState::open);
        day.left(-1);
        CHECK(day.table.needs_decision(1));
    }
    SECTION("taking back an earlier act does not make it young") {
        Day marked;
        marked.right(-1);
        marked.mark({{"rim", "full"}});
        marked.wait_too_long(1);
        marked.press(Key::undo);
        CHECK(marked.pair(1).marks.empty());
        CHECK(marked.questions(1) == Words{"half-pair-old"});
        marked.left(-1);
        CHECK_FALSE(marked.pair(1).left);
    }
}

TEST_CASE("a time-out that comes too late, or of something else, changes nothing") {
    Day day;
    day.wait_too_long(1);
    CHECK(day.changes.empty());
    day.both(-1, -1);
    day.wait_too_long(1);
    CHECK(day.changes.empty());
    day.right(-1);
    day.happen(record::TimedOut{"other", 2});
    CHECK(day.changes.empty());
    CHECK(day.state(2) == PairState::open);
}

TEST_CASE("after a restart the next reading asks instead of joining half a pair") {
    enum class How_it_is_known { reset, changed, first_reading };
    for (const auto how :
         {How_it_is_known::reset, How_it_is_known::changed, How_it_is_known::first_reading}) {
        Day day;
        day.right(-1);
        record::Greeted greeted;
        greeted.reset = how == How_it_is_known::reset;
        greeted.changed = how == How_it_is_known::changed;
        day.happen(greeted);
        day.left(-2, {.first_after_reset = how == How_it_is_known::first_reading});
        CHECK(day.questions(1) == Words{"after-restart"});
        CHECK(day.choices(1) == Words{"same-pair", "another-pair"});
        CHECK_FALSE(day.pair(1).left);
        CHECK(day.table.pending(1) == Events{3});
        CHECK_FALSE(day.table.awaited());
        CHECK(day.told(What::awaiting) == Words{""});
    }
}

TEST_CASE("a greeting without a restart lets the pair go on, and a restart between pairs asks nothing") {
    Day day;
    day.right(-1);
    day.happen(record::Greeted{});
    day.left(-1);
    CHECK(day.table.needs_decision(1));
    day.restart();
    day.right(-2);
    day.left(-2);
    CHECK(day.table.needs_decision(2));
    day.mark({{"rim", "full"}}, 0);
    day.restart();
    day.right(-2);
    CHECK(day.questions(3).empty());
}

TEST_CASE("after a restart, the same pair") {
    Day day;
    day.right(-1);
    day.restart();
    SECTION("the other lens completes it") {
        day.left(-2);
        day.answer(1, "same-pair");
        CHECK(day.sphere(1, Eye::left) == -2);
        CHECK(day.table.needs_decision(1));
    }
    SECTION("a lens without an eye is the missing one") {
        day.unnamed(-2);
        day.answer(1, "same-pair");
        CHECK(day.sphere(1, Eye::left) == -2);
    }
    SECTION("the same lens again is a second reading like any") {
        day.right(-3);
        day.answer(1, "same-pair");
        CHECK(day.questions(1) == Words{"same-lens-twice"});
        day.answer(1, "two-places");
        day.left(-1);
        CHECK(day.pair(1).left);  // the restart was answered: it is not asked about again
    }
    SECTION("a reading behind it begins the next pair") {
        day.left(-2);
        day.right(-5);
        CHECK(day.table.pending(1) == Events{3, 4});
        day.answer(1, "same-pair");
        CHECK(day.table.needs_decision(1));
        CHECK(day.at_bench() == 2);
        CHECK(day.pair(2).right->event == 4);
    }
    SECTION("a reading behind it completes it if it still lacks a lens") {
        day.right(-1);
        day.left(-2);
        day.answer(1, "same-pair");
        CHECK(day.pair(1).right->event == 3);
        CHECK(day.pair(1).left->event == 4);
        CHECK(day.table.count() == 1);
    }
    SECTION("a reading that agrees with the one in question takes its place") {
        day.left(-2);
        day.left(-2.25);
        CHECK(day.table.pending(1) == Events{4});
        CHECK(day.table.superseded(1) == Events{3});
    }
}

TEST_CASE("after a restart, another pair") {
    Day day;
    day.right(-1);
    day.restart();
    SECTION("the readings since then are that pair") {
        day.right(-2);
        day.left(-3);
        day.answer(1, "another-pair");
        CHECK(day.at_bench() == 2);
        CHECK(day.pair(2).right->event == 3);
        CHECK(day.pair(2).left->event == 4);
        CHECK(day.table.needs_decision(2));
    }
    SECTION("a lens without an eye is now the right one") {
        day.unnamed(-2);
        day.answer(1, "another-pair");
        CHECK(day.sphere(2, Eye::right) == -2);
    }
    CHECK(day.state(1) == PairState::asking);
    CHECK(day.questions(1) == Words{"half-pair-left-behind"});
}

TEST_CASE("a restart while a question is open leaves the pair in its tray") {
    for (const bool restarted_before : {false, true}) {
        Day day;
        day.right(-1);
        if (restarted_before) day.restart();
        day.right(-4);
        day.restart();
        const auto event = day.left(-2);
        CHECK(day.state(1) == PairState::asking);
        CHECK(day.pair(2).left->event == event);
        CHECK_FALSE(day.pair(1).left);
    }
}

TEST_CASE("taking back the reading that asked does not make the restart forgotten") {
    Day day;
    day.right(-1);
    SECTION("told by the reading") {
        day.left(-2, {.first_after_reset = true});
    }
    SECTION("told by the greeting") {
        day.restart();
        day.left(-2);
    }
    SECTION("come after the reading") {
        day.left(-2);
        day.restart();
    }
    day.press(Key::undo);
    day.left(-2);
    CHECK(day.questions(1) == Words{"after-restart"});
}

TEST_CASE("a capture of both lenses leaves half a pair behind, asking, and joins one that has only marks") {
    Day day;
    SECTION("half a pair") {
        day.right(-1);
        day.both(-2, -3);
        CHECK(day.state(1) == PairState::asking);
        CHECK(day.questions(1) == Words{"half-pair-left-behind"});
        CHECK(day.at_bench() == 2);
        CHECK(day.table.needs_decision(2));
    }
    SECTION("marks only") {
        day.mark({{"rim", "full"}});
        CHECK(day.state(1) == PairState::open);
        day.both(-2, -3);
        CHECK(day.table.count() == 1);
        CHECK(day.table.needs_decision(1));
        CHECK(day.pair(1).marks.at("rim") == "full");
    }
    SECTION("a pair with a lens in question keeps that question first") {
        day.right(-1);
        day.right(-3);
        day.both(-2, -3);
        CHECK(day.questions(1) == Words{"same-lens-twice"});
        day.answer(1, "same-lens");
        CHECK(day.questions(1) == Words{"half-pair-left-behind"});
        CHECK(day.state(1) == PairState::asking);
    }
}

TEST_CASE("an old half pair that an answer completes is no longer asked about") {
    Day day;
    day.right(-1);
    day.right(-3);
    day.wait_too_long(1);
    CHECK(day.questions(1) == Words{"same-lens-twice", "half-pair-old"});
    day.answer(1, "other-lens");
    CHECK(day.questions(1).empty());
    CHECK(day.table.needs_decision(1));
}

}  // namespace pairmark::pairing::testing
