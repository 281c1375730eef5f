// What could not be done at once: said once, tried again by the timers, and by nothing else.
#include <catch2/catch.hpp>

#include "tests/bench/bench.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using namespace std::chrono_literals;
using protocol::Key;

namespace {

/// Time in which everything that is tried again was tried.
void wait(Bench& bench) {
    bench.timers.advance(bench.timers.now() + 10s);
}

/// The same day with a clock that went back, or on, by `by`; what ran before ends.
void start_with_clock_moved(Bench& bench, std::chrono::minutes by) {
    bench.sorting.reset();
    bench.timers = bench::SteppedTimers(bench.timers.wall() + by);
    bench.start();
}

Words outcomes(const Bench& bench) {
    Words all;
    for (const record::Printed& printed : bench.all<record::Printed>())
        all.push_back(printed.outcome);
    return all;
}

}  // namespace

TEST_CASE("A label that failed is said once and tried every 10 s, until it comes out with its file") {
    Bench bench;
    bench.start();
    bench.printer.result = {PrintOutcome::failed, "the folder is missing; make it"};
    bench.measure_kept_pair();
    const std::string number = bench.printer.asked.at(0).number;
    const std::int64_t last = bench.store->last_sequence();
    for (std::size_t times = 2; times < 5; ++times) {
        CHECK(bench.timers.next_due() == bench.timers.now() + 10s);
        wait(bench);
        CHECK(bench.printer.asked.size() == times);
    }
    CHECK(bench.told("trouble") ==
          Words{"label " + number + ": the folder is missing; make it; it is tried again every 10 s"});
    CHECK(bench.store->last_sequence() == last);  // the same failure again is no event
    CHECK(bench.said.str().find("labels/" + number) == std::string::npos);

    bench.printer.result = {PrintOutcome::printed, ""};
    wait(bench);
    REQUIRE(bench.printer.out.size() == 1);
    CHECK(bench.printer.out[0] == bench.printer.asked[0]);
    CHECK(bench.cues == Words{"keep", "printer", "clear", "keep"});
    CHECK(bench.said.str().find("labels/" + number) != std::string::npos);
    CHECK(outcomes(bench) == Words{"failed", "printed"});
    CHECK_FALSE(bench.timers.next_due());
    wait(bench);
    CHECK(bench.printer.out.size() == 1);
}

TEST_CASE("A failed label whose number is void is not tried again, nor said to be torn up") {
    Bench bench;
    bench.start();
    bench.printer.result = {PrintOutcome::failed, "the folder is missing; make it"};
    bench.measure_kept_pair();
    const std::string number = bench.printer.asked.at(0).number;
    bench.press(Key::undo);
    CHECK(bench.told("void") == Words{"label " + number + " is void; it was not printed"});
    CHECK(bench.cues == Words{"keep", "printer", "clear", "keep", "clear"});
    bench.printer.result = {PrintOutcome::printed, ""};
    wait(bench);
    CHECK(bench.printer.out.empty());
}

TEST_CASE("A number that is void is not printed even where the store was not told") {
    Bench bench;
    bench.start();
    bench.printer.result = {PrintOutcome::failed, "the folder is missing; make it"};
    bench.measure_kept_pair();
    const std::string number = bench.printer.asked.at(0).number;
    bench.press(Key::undo);
    // As a cut between the undo's commit and the label's would leave it.
    (void)bench.store->set_outcome(bench.store->intent(number, 0)->id, PrintOutcome::failed, "");
    bench.printer.result = {PrintOutcome::printed, ""};
    bench.measure({left_lens(-175)});
    wait(bench);
    REQUIRE(bench.printer.out.size() == 1);
    CHECK(bench.printer.out[0].number != number);
}

TEST_CASE("A label for which the store had no room is made by the timers when there is room") {
    Bench bench;
    bench.start();
    bench.store->limit_size(1);
    bench.measure_kept_pair();
    REQUIRE(bench.store->last_sequence() == 5);  // both readings found room; the label's document did not
    REQUIRE(bench.told("trouble").size() == 1);
    CHECK_THAT(bench.told("trouble")[0],
               Catch::StartsWith("pair 1 is kept but has no label yet: there is no room for the store"));
    for (int times = 0; times < 3; ++times)
        wait(bench);
    CHECK(bench.told("trouble").size() == 1);
    CHECK(bench.numbers().empty());
    bench.store->limit_size(1LL << 40);
    wait(bench);
    CHECK(bench.numbers() == Words{"A1-A-00001"});
    CHECK(bench.printer.out.size() == 1);
    CHECK(bench.cues.front() == "keep");
    CHECK(bench.cues.back() == "keep");  // the printer's lamp is out, the verdict stands
    CHECK_FALSE(bench.timers.next_due());
}

TEST_CASE("A label that the printer holds waits for a person's release, and is said again at a start") {
    Bench bench;
    bench.start();
    bench.printer.result = {PrintOutcome::held, "another document has its name; move it away"};
    bench.measure_kept_pair();
    bench.printer.result = {PrintOutcome::printed, ""};
    CHECK_FALSE(bench.timers.next_due());
    bench.start();
    CHECK(bench.told("trouble").size() == 2);
    CHECK(bench.printer.asked.size() == 1);
    CHECK_THAT(bench.act("release", 1), Catch::Contains("is printed"));
    CHECK(bench.printer.out.size() == 1);
    CHECK_THAT(bench.act("release", 1), Catch::Contains("not held"));
    CHECK(bench.printer.asked.size() == 2);
}

TEST_CASE("A refused label is noted once, however often the bench starts") {
    Bench bench;
    bench.rules = keep_all;
    bench.start();
    bench.measure_pair(with_addition(right_lens(-125), 200), with_addition(left_lens(-150), 200));
    for (int start = 0; start < 3; ++start)
        bench.start();
    std::size_t notes = 0;
    for (const record::Noted& note : bench.all<record::Noted>())
        notes += note.what == "label-refused" ? 1 : 0;
    CHECK(notes == 1);
    CHECK(bench.told("refused").size() == 4);  // said by each start
    CHECK_FALSE(bench.timers.next_due());      // no time mends it
}

TEST_CASE("Labels are held while the clock is behind the newest event, and come by themselves afterwards") {
    Bench bench;
    bench.start();
    bench.measure_kept_pair();
    const std::string day = bench.store->labels()[0].date;
    start_with_clock_moved(bench, -24h);
    bench.measure_kept_pair(1);
    CHECK(bench.state(2) == record::PairState::labelled);
    CHECK(bench.printer.asked.size() == 1);
    CHECK(bench.numbers() == Words{"A1-A-00001", "A1-A-00002"});
    CHECK(bench.store->labels()[1].date == day);  // not the day before
    REQUIRE(bench.told("trouble").size() == 1);
    CHECK_THAT(bench.told("trouble")[0],
               Catch::Contains("clock is behind the newest record (2026-11-24T12:00:") &&
                   Catch::Contains("set the clock") && Catch::Contains("--release"));
    CHECK(bench.store->intents(PrintOutcome::held).size() == 1);
    CHECK(bench.cues == Words{"keep", "keep", "printer"});
    bench.timers.advance(23h);
    CHECK(bench.printer.asked.size() == 1);
    CHECK(bench.told("trouble").size() == 1);
    bench.timers.advance(24h + 10s);
    CHECK(bench.printer.out.size() == 2);
    CHECK(outcomes(bench) == Words{"printed", "held", "printed"});
    CHECK(bench.cues == Words{"keep", "keep", "printer", "clear", "keep"});
}

TEST_CASE("A clock that is set right between two starts lets the label out at the second") {
    Bench bench;
    bench.start();
    bench.measure_kept_pair();
    start_with_clock_moved(bench, -24h);
    bench.measure_kept_pair(1);
    start_with_clock_moved(bench, 24h + 1min);
    CHECK(bench.printer.out.size() == 2);
}

TEST_CASE("A second behind is what time services do, and holds nothing") {
    Bench bench;
    bench.timers.advance(5s);
    bench.start();
    bench.timers = bench::SteppedTimers(bench.timers.wall() - 1s);
    bench.measure_kept_pair();
    CHECK(bench.printer.out.size() == 1);
}

TEST_CASE("A person's word that the clock is right counts from then on, also at the next start") {
    Bench bench;
    bench.start();
    bench.measure_kept_pair();
    start_with_clock_moved(bench, -24h * 365 * 9);
    bench.measure_kept_pair(1);
    CHECK(bench.printer.out.size() == 1);
    CHECK_THAT(bench.act("release"), Catch::Contains("the clock counts as right"));
    CHECK(bench.printer.out.size() == 2);
    bench.measure_kept_pair(2);
    CHECK(bench.printer.out.size() == 3);
    bench.start();
    bench.measure_kept_pair(3);
    CHECK(bench.printer.out.size() == 4);
    CHECK(bench.told("trouble").size() == 1);
}
