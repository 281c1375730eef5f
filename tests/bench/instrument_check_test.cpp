// The check of the lens meter: how long it counts, across restarts and a full store.
#include <catch2/catch.hpp>

#include "tests/bench/bench.hpp"
#include "tests/store/full_disk.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using namespace std::chrono_literals;
using record::InstrumentCheck;

namespace {

InstrumentCheck check_now(const Bench& bench) {
    return bench.sorting->pipeline().table().instrument_check();
}

}  // namespace

TEST_CASE("A passed check of the lens meter counts for twelve hours, also across a restart") {
    Bench bench;
    bench.start();
    CHECK(check_now(bench) == InstrumentCheck::due);
    CHECK(bench.act("instrument-check", {}, "passed") ==
          "The lens meter was checked and shows what it should.");
    bench.measure_kept_pair();
    CHECK(bench.pair(1).left->check == InstrumentCheck::passed);
    bench.timers.advance(11h);
    SECTION("within one run") {}
    SECTION("across a restart") {
        bench.start();
    }
    CHECK(check_now(bench) == InstrumentCheck::passed);
    bench.timers.advance(12h);
    CHECK(check_now(bench) == InstrumentCheck::due);
    CHECK(bench.pair(1).left->check == InstrumentCheck::passed);
    CHECK(bench.all<record::TimedOut>().size() == 1);
}

TEST_CASE("A check that grew old while the bench was off is due at the start") {
    Bench bench;
    bench.start();
    bench.act("instrument-check", {}, "passed");
    bench.sorting.reset();
    bench.timers.advance(13h);
    bench.start();
    CHECK(check_now(bench) == InstrumentCheck::due);
    bench.start();
    CHECK(bench.all<record::TimedOut>().size() == 1);
}

TEST_CASE("A failed check counts until the next one") {
    Bench bench;
    bench.start();
    bench.act("instrument-check", {}, "passed");
    bench.act("instrument-check", {}, "failed");
    bench.timers.advance(48h);
    CHECK(check_now(bench) == InstrumentCheck::failed);
    CHECK(bench.act("instrument-check", {}, "passed") ==
          "The lens meter was checked and shows what it should.");
    CHECK(check_now(bench) == InstrumentCheck::passed);
}

TEST_CASE("That a check is over is kept as soon as there is room") {
    Bench bench;
    bench.start();
    bench.act("instrument-check", {}, "passed");
    {
        const FullDisk full;
        bench.timers.advance(12h);
        CHECK(check_now(bench) == InstrumentCheck::passed);
    }
    bench.timers.advance(12h + 1min);
    CHECK(check_now(bench) == InstrumentCheck::due);
    CHECK(bench.all<record::TimedOut>().size() == 1);
}
