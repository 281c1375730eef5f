// An ordinary day: readings in; pairs, cues, numbers and labels out.
#include <catch2/catch.hpp>

#include "tests/bench/bench.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using protocol::Key;
using record::PairState;

TEST_CASE("A right and a left lens become one label: first number, first place, cue keep") {
    Bench bench;
    bench.start();
    CHECK(bench.measure({right_lens(-125, -50, 85)}) == Taken::stored);
    CHECK(bench.printer.out.empty());
    CHECK(bench.cues.empty());
    CHECK(bench.measure({left_lens(-150)}) == Taken::stored);

    REQUIRE(bench.printer.out.size() == 1);
    CHECK_THAT(bench.printer.out[0].number, Catch::Matches("A1-A-00001-[0-9A-Z]"));
    CHECK(bench.printer.out[0].document.rfind("%PDF-", 0) == 0);
    CHECK(bench.cues == Words{"keep"});
    CHECK(bench.state(1) == PairState::labelled);
    const auto labels = bench.store->labels();
    REQUIRE(labels.size() == 1);
    CHECK(labels[0].number == bench.printer.out[0].number);
    CHECK(labels[0].place == "Box 1-01");
    CHECK(labels[0].date == bench::local_date(bench.timers.wall()));
    CHECK(labels[0].facts.programme == "Reading Room");
    CHECK(labels[0].facts.right ==
          optics::Power{optics::Dioptre::hundredths(-125), optics::Dioptre::hundredths(-50), 85});
    CHECK(bench.store->intents(PrintOutcome::printed).size() == 1);
    CHECK(bench.store->pair(1)->state == "labelled");
    CHECK(bench.told("pair").size() == 1);
}

TEST_CASE("Both lenses of one capture become one label too") {
    Bench bench;
    bench.start();
    bench.measure({right_lens(-125), left_lens(-150)});
    CHECK(bench.numbers() == Words{"A1-A-00001"});
    CHECK(bench.cues == Words{"keep"});
}

TEST_CASE("Kept pairs are numbered and filed one after another") {
    Bench bench;
    bench.config.filing.boxes = {"Tray", 2};
    bench.start();
    for (int nth = 0; nth < 3; ++nth)
        bench.measure_kept_pair(nth);
    CHECK(bench.numbers() == Words{"A1-A-00001", "A1-A-00002", "A1-A-00003"});
    CHECK(bench.places() == Words{"Tray 1-01", "Tray 1-02", "Tray 2-01"});
}

TEST_CASE("A pair that was taken back whole is told as taken back, without powers or verdict") {
    Bench bench;
    bench.start();
    bench.measure({right_lens(-125)});
    record::Acted undo;
    undo.act = "undo";
    (void)bench.sorting->act(undo);
    REQUIRE_FALSE(bench.told("pair").empty());
    CHECK_THAT(bench.told("pair").back(), Catch::Contains("taken back") && !Catch::Contains("ask"));
}

TEST_CASE("A pair that is not kept gets its cue and its reason, and neither number nor label") {
    struct Row {
        protocol::LensFields right;
        protocol::LensFields left;
        const char* cue;
        const char* reason;
    };
    for (const Row& row : {
             Row{right_lens(-100, -450, 90), left_lens(-100, -450, 90), "discard", "cylinder"},
             Row{right_lens(0), left_lens(-75), "ask", "The right lens shows no power"},
             Row{right_lens(-100, -125, 180), left_lens(-100), "ask", "vertically"},
         }) {
        Bench bench;
        bench.start();
        bench.measure_pair(row.right, row.left);
        CAPTURE(row.reason);
        CHECK(bench.cues == Words{row.cue});
        CHECK(bench.store->labels().empty());
        CHECK(bench.store->intents().empty());
        CHECK(bench.printer.asked.empty());
        REQUIRE(bench.told("pair").size() == 1);
        CHECK_THAT(bench.told("pair")[0], Catch::Contains(row.reason));
        // The next kept pair gets the first number: none was spent.
        bench.measure_kept_pair();
        CHECK(bench.numbers() == Words{"A1-A-00001"});
    }
}

TEST_CASE("An event that is known is acknowledged again and changes nothing") {
    Bench bench;
    bench.start();
    bench.measure_kept_pair();
    const std::int64_t last = bench.store->last_sequence();
    const Words pairs = bench.pairs();
    CHECK(bench.take(reading(2, {left_lens(-150)})) == Taken::known);
    bench.sorting->settle();
    CHECK(bench.store->last_sequence() == last);
    CHECK(bench.pairs() == pairs);
    CHECK(bench.printer.asked.size() == 1);
    CHECK(bench.cues == Words{"keep"});
    CHECK(bench.told("reading").size() == 2);
}

TEST_CASE("A known number with another record is kept apart and labels nothing") {
    Bench bench;
    bench.start();
    bench.measure({right_lens(-125)});
    const std::int64_t last = bench.store->last_sequence();
    const protocol::EventLine other = reading(1, {left_lens(-150)});
    CHECK(bench.take(other) == Taken::clash);
    bench.sorting->settle();
    CHECK(bench.store->last_sequence() == last);
    CHECK(bench.printer.asked.empty());
    CHECK_FALSE(bench.pair(1).left);
    const auto kept = bench.store->quarantined();
    REQUIRE(kept.size() == 1);
    CHECK(kept[0].adapter == adapter_id);
    CHECK(kept[0].number == 1);
    CHECK(kept[0].record_crc == other.crc);
    CHECK(kept[0].line == event_text(other));
}

TEST_CASE(
    "An undo after the label says which to tear up, and measuring again gives a new number, same place") {
    Bench bench;
    bench.start();
    bench.measure_kept_pair();
    const std::string first = bench.printer.out.at(0).number;
    bench.press(Key::undo);
    CHECK(bench.told("void") == Words{"tear up label " + first});
    CHECK(bench.store->label(first)->is_void);
    CHECK(bench.store->intent(first, 0)->outcome == PrintOutcome::void_);
    CHECK(bench.state(1) == PairState::open);

    bench.measure({left_lens(-150)});
    CHECK(bench.numbers() == Words{"A1-A-00001 void", "A1-A-00002"});
    CHECK(bench.places() == Words{"Box 1-01", "Box 1-01"});
    CHECK(bench.printer.out.size() == 2);
    bench.measure_kept_pair(1);
    CHECK(bench.places().back() == "Box 1-02");
}

TEST_CASE("A mark after the label voids it: a kept pair gets a new one, another none") {
    Bench bench;
    bench.start();
    bench.measure_kept_pair();
    const std::string first = bench.printer.out.at(0).number;
    CHECK_THAT(bench.mark({{"tint", "light"}}), Catch::Contains("tear up label " + first));
    CHECK(bench.numbers() == Words{"A1-A-00001 void", "A1-A-00002"});
    CHECK(bench.places() == Words{"Box 1-01", "Box 1-01"});
    const std::string second = bench.printer.out.at(1).number;
    CHECK_THAT(bench.mark({{"tint", "dark"}}), Catch::Contains("tear up label " + second));
    CHECK(bench.numbers() == Words{"A1-A-00001 void", "A1-A-00002 void"});
    CHECK(bench.state(1) == PairState::turned_down);
    CHECK(bench.cues == Words{"keep", "keep", "discard"});
}

TEST_CASE("The long press takes the whole pair back, and its number stays used") {
    Bench bench;
    bench.start();
    bench.measure_kept_pair();
    bench.press(Key::undo, true);
    CHECK(bench.state(1) == PairState::gone);
    CHECK(bench.numbers() == Words{"A1-A-00001 void"});
    bench.measure_kept_pair();
    CHECK(bench.numbers() == Words{"A1-A-00001 void", "A1-A-00002"});
}

TEST_CASE("A pair that a person turns down is cued discard and gets no label") {
    Bench bench;
    bench.start();
    bench.measure({right_lens(-125)});
    bench.press(Key::turn_down);
    CHECK(bench.cues == Words{"discard"});
    CHECK(bench.state(1) == PairState::turned_down);
    CHECK(bench.numbers().empty());
}

TEST_CASE("What an act changed, or why it changed nothing, is the answer to it") {
    Bench bench;
    bench.start();
    CHECK_THAT(bench.act("undo"), Catch::Contains("no pair yet"));
    CHECK_THAT(bench.act("turn-down", 7), Catch::Contains("There is no pair 7"));
    bench.measure_kept_pair();
    CHECK_THAT(bench.act("release", 1), Catch::Contains("not held"));
    CHECK(bench.numbers() == Words{"A1-A-00001"});
}

TEST_CASE("Where looking over is done here, a pair is decided by the key press") {
    Bench bench;
    bench.config.looked_over_earlier = false;
    bench.start();
    bench.measure_kept_pair();
    CHECK(bench.state(1) == PairState::complete);
    CHECK(bench.printer.asked.empty());
    CHECK(bench.cues.empty());
    bench.press(Key::go_on);
    CHECK(bench.numbers() == Words{"A1-A-00001"});
    CHECK(bench.cues == Words{"keep"});
}
