// A cut at any stage, and what the next start makes of it.
#include <catch2/catch.hpp>

#include "tests/bench/bench.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using protocol::Key;
using record::PairState;

namespace {

/// The power goes while the label is on its way to the printer.
void cut_while_printing(Bench& bench) {
    bench.printer.cut = true;
    bench.measure({right_lens(-125)});
    CHECK_THROWS_AS(bench.measure({left_lens(-150)}), PowerCut);
    bench.printer.cut = false;
}

}  // namespace

TEST_CASE("After a restart the same pairs stand, and nothing is labelled twice") {
    Bench bench;
    bench.start();
    bench.measure_kept_pair();
    bench.measure_pair(right_lens(-100, -450, 90), left_lens(-100));
    bench.measure_pair(right_lens(0), left_lens(-75));
    bench.measure_kept_pair(1);
    (void)bench.mark({{"tint", "light"}});
    bench.measure({right_lens(-225)});
    const Words pairs = bench.pairs();
    const Words numbers = bench.numbers();
    for (int restart = 0; restart < 2; ++restart) {
        bench.start();
        CHECK(bench.pairs() == pairs);
        CHECK(bench.numbers() == numbers);
        CHECK(bench.printer.asked.size() == 3);
    }
    CHECK(bench.sorting->half_pair() == 5);
    bench.measure({left_lens(-250)});
    CHECK(bench.state(5) == PairState::labelled);
    CHECK(bench.places().back() == "Box 1-03");
}

TEST_CASE("A start says in the session which program, texts and settings are in force") {
    Bench bench;
    bench.start();
    const auto started = bench.all<record::Started>();
    REQUIRE(started.size() == 1);
    CHECK(started[0].version == PAIRMARK_VERSION);
    CHECK(started[0].store == bench.store->id());
    CHECK(started[0].bench == "A1");
    const auto texts = bench.all<record::TextInForce>();
    REQUIRE(texts.size() == 2);
    CHECK(texts[0].role == "settings");
    CHECK(texts[1].role == "rules");
    CHECK(texts[1].text == bench.rules);
}

TEST_CASE("A cut between a reading's commit and its label: the label is made once, at the next start") {
    Bench bench;
    bench.start();
    bench.take(reading(1, {right_lens(-125)}));
    bench.take(reading(2, {left_lens(-150)}));
    REQUIRE(bench.printer.asked.empty());
    bench.start();
    CHECK(bench.printer.out.size() == 1);
    CHECK(bench.numbers() == Words{"A1-A-00001"});
    CHECK(bench.cues == Words{"keep"});
    bench.start();
    CHECK(bench.printer.asked.size() == 1);
}

TEST_CASE(
    "A cut between intent and print: printed once at the next start, the same bytes under the same number") {
    Bench bench;
    bench.start();
    cut_while_printing(bench);
    const auto waiting = bench.store->intents(PrintOutcome::waiting);
    REQUIRE(waiting.size() == 1);
    const RecordingPrinter::Sheet meant{waiting[0].label, bench.store->intent(waiting[0].id)->document};
    bench.config.programme = "Another name by now";
    bench.start();
    CHECK(bench.printer.out == std::vector{meant});
    CHECK(bench.numbers() == Words{"A1-A-00001"});
    bench.start();
    CHECK(bench.printer.asked.size() == 1);
}

TEST_CASE("A label that a printer failed to take is tried again at the next start, once a start") {
    Bench bench;
    bench.start();
    bench.printer.result = {PrintOutcome::failed, "the folder is missing; make it"};
    bench.measure_kept_pair();
    CHECK(bench.cues == Words{"keep", "printer"});
    REQUIRE(bench.told("trouble").size() == 1);
    CHECK_THAT(bench.told("trouble")[0],
               Catch::Contains("A1-A-00001") && Catch::Contains("folder is missing"));
    bench.start();
    CHECK(bench.printer.asked.size() == 2);
    bench.printer.result = {PrintOutcome::printed, ""};
    bench.start();
    REQUIRE(bench.printer.out.size() == 1);
    CHECK(bench.printer.out[0] == bench.printer.asked[0]);
    CHECK(bench.store->intents(PrintOutcome::printed).size() == 1);
    bench.start();
    CHECK(bench.printer.asked.size() == 3);
}

TEST_CASE("A label that waited through a cut is tried once by a start at which the printer fails") {
    Bench bench;
    bench.start();
    cut_while_printing(bench);
    bench.printer.result = {PrintOutcome::failed, "the folder is missing; make it"};
    bench.start();
    CHECK(bench.printer.asked.size() == 1);
}

TEST_CASE("A label in doubt, or held, is never printed again by itself") {
    for (const PrintOutcome outcome : {PrintOutcome::in_doubt, PrintOutcome::held}) {
        Bench bench;
        bench.start();
        bench.printer.result = {outcome, "look at the printer"};
        bench.measure_kept_pair();
        CHECK(bench.printer.asked.size() == 1);
        CHECK(bench.cues == Words{"keep", "printer"});
        bench.printer.result = {PrintOutcome::printed, ""};
        bench.start();
        bench.measure_kept_pair(1);
        REQUIRE(bench.printer.asked.size() == 2);
        CHECK(bench.printer.asked[1].number != bench.printer.asked[0].number);
        CHECK(bench.store->intents(outcome).size() == 1);
    }
}

TEST_CASE("A label that was undone while the printer failed is not printed by the next start") {
    Bench bench;
    bench.start();
    bench.printer.result = {PrintOutcome::failed, "the folder is missing; make it"};
    bench.measure_kept_pair();
    bench.press(Key::undo);
    bench.printer.result = {PrintOutcome::printed, ""};
    bench.start();
    CHECK(bench.printer.out.empty());
    CHECK(bench.numbers() == Words{"A1-A-00001 void"});
}

TEST_CASE("A cut between an undo's commit and what follows: the next start voids the label and says so") {
    Bench bench;
    bench.start();
    bench.printer.result = {PrintOutcome::failed, "the folder is missing; make it"};
    bench.measure_kept_pair();
    const std::string number = bench.printer.asked.at(0).number;
    bench.printer.result = {PrintOutcome::printed, ""};
    bench.take(key_press(++bench.number, Key::undo));
    bench.start();
    CHECK(bench.printer.out.empty());
    CHECK(bench.numbers() == Words{"A1-A-00001 void"});
    CHECK(bench.told("void") == Words{"tear up label " + number + " if it is there"});
}

TEST_CASE("A pair keeps the verdict of the rules under which it was measured, also over a restart") {
    Bench bench;
    bench.rules = no_cylinder_over("2");
    bench.start();
    bench.take(reading(1, {right_lens(-125, -100, 90), left_lens(-125, -100, 90)}));
    bench.rules = no_cylinder_over("0.50");
    bench.start();  // it was decided before the cut, by the rules of then
    CHECK(bench.numbers() == Words{"A1-A-00001"});
    bench.number = 1;
    bench.measure({right_lens(-150, -100, 90), left_lens(-150, -100, 90)});
    CHECK(bench.state(2) == PairState::turned_down);
    CHECK(bench.numbers() == Words{"A1-A-00001"});
}

TEST_CASE("A store that was copied from elsewhere begins a series of its own") {
    Bench bench;
    bench.start();
    bench.measure_kept_pair();
    bench.sorting.reset();
    bench.store.reset();
    std::filesystem::remove(bench.folder / "bench.db.generation");
    bench.start();
    CHECK_THAT(bench.told("said").at(0), Catch::Contains("series B"));
    bench.measure_kept_pair(1);
    CHECK(bench.numbers() == Words{"A1-A-00001", "A1-B-00001"});
    CHECK(bench.all<record::Started>().back().series == "B");
}
