#include <set>

#include "tests/firmware/workbench.hpp"

using namespace pairmark::firmware;
using namespace pairmark::firmware::testing;

namespace {

/// Holds keys for some milliseconds, then lets go and waits.
void press(Workbench& bench, std::uint8_t keys, std::uint32_t ms) {
    bench.board->hold_keys(keys);
    bench.pass(ms);
    bench.board->hold_keys(0);
    bench.pass(400);
}

/// The lamp's rhythm in tenths of a second from now on.
std::string watch_lamp(Workbench& bench, Cue cue, int tenths) {
    std::string rhythm;
    bench.pass(50);
    for (int i = 0; i < tenths; ++i) {
        rhythm += (bench.board->lamps() >> static_cast<unsigned>(cue) & 1) != 0 ? '#' : '.';
        bench.pass(100);
    }
    return rhythm;
}

}  // namespace

TEST_CASE("each key is an event of its own, short on release and long after one second") {
    struct Row {
        std::uint8_t key;
        std::uint32_t ms;
        const char* name;
        const char* is_long;
    };
    const Row rows[] = {
        {key_go, 100, "go", "(absent)"},     {key_down, 100, "down", "(absent)"},
        {key_undo, 100, "undo", "(absent)"}, {key_aside, 100, "aside", "(absent)"},
        {key_go, 900, "go", "(absent)"},     {key_down, 1100, "down", "1"},
        {key_aside, 4000, "aside", "1"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.name, row.ms);
        Workbench bench;
        bench.set_up();
        bench.pass(100);
        press(bench, row.key, row.ms);
        const std::vector<Said> events = bench.take_events();
        REQUIRE(events.size() == 1);
        CHECK(events[0].value("k") == "key");
        CHECK(events[0].value("key") == row.name);
        CHECK(events[0].value("long") == row.is_long);
    }
}

TEST_CASE("a key that bounces is one press, and a touch of less than 30 ms is none") {
    Workbench bench;
    bench.set_up();
    bench.pass(100);
    for (int i = 0; i < 10; ++i) {
        bench.board->hold_keys(i % 2 == 0 ? key_go : 0);
        bench.pass(5);
    }
    press(bench, key_go, 100);
    CHECK(bench.take_events().size() == 1);
    press(bench, key_go, 25);
    CHECK(bench.take_events().empty());
}

TEST_CASE("two keys together mean nothing, and nothing more happens until all are released") {
    Workbench bench;
    bench.set_up();
    bench.pass(100);
    press(bench, key_go | key_down, 300);
    bench.board->hold_keys(key_go);
    bench.pass(100);
    press(bench, key_go | key_undo, 100);
    bench.board->hold_keys(key_go | key_undo);
    bench.pass(100);
    press(bench, key_go, 2000);
    CHECK(bench.take_events().empty());
    press(bench, key_go, 100);
    CHECK(bench.take_events().size() == 1);
}

TEST_CASE("a key that is down at start is not a press") {
    Workbench bench;
    bench.set_up();
    bench.power_on(ResetCause::watchdog);
    bench.board->hold_keys(key_down);
    bench.pass(3000);
    bench.board->hold_keys(0);
    bench.pass(500);
    CHECK(bench.adapter->outbox().waiting() == 0);
    press(bench, key_down, 100);
    CHECK(bench.adapter->outbox().waiting() == 1);
}

TEST_CASE("a verdict is shown at its place in its rhythm and stays until the next reading is accepted") {
    struct Row {
        const char* show;
        Cue cue;
        const char* rhythm;
    };
    const Row rows[] = {
        {"keep", Cue::keep, "##################"},
        {"discard", Cue::discard, "##..##..##########"},
        {"ask", Cue::ask, "######..######..##"},
        {"printer", Cue::printer, "##.#....##.#....##"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.show);
        Workbench bench;
        bench.set_up();
        bench.say(std::string("@CUE n=1 show=") + row.show);
        bench.pass(1);
        CHECK(watch_lamp(bench, row.cue, 18) == row.rhythm);
        const std::vector<Said> cued = bench.hear("CUED");
        REQUIRE(cued.size() == 1);
        CHECK(cued[0].value("n") == "1");
        bench.measure(print_lens('R', -125, 50, 85));
        bench.pass(1000);
        if (row.cue != Cue::printer) CHECK((bench.board->lamps() >> static_cast<unsigned>(row.cue) & 1) == 0);
        bench.say("@CUE n=2 show=clear");
        bench.pass(50);
        bench.forget_lamps();
        bench.pass(3000);
        CHECK_FALSE(bench.lamp_was_lit(row.cue));
    }
}

TEST_CASE("a cue that comes again is answered again and not shown again") {
    Workbench bench;
    bench.set_up();
    bench.say("@CUE n=5 show=keep");
    CHECK(bench.hear("CUED").size() == 1);
    bench.say("@CUE n=6 show=clear");
    CHECK(bench.hear("CUED").size() == 1);
    bench.forget_lamps();
    bench.pass(20);
    bench.say("@CUE n=5 show=keep");
    CHECK(bench.hear("CUED").size() == 1);
    CHECK_FALSE(bench.lamp_was_lit(Cue::keep));
    bench.say("@CUE n=7 show=dance");
    const std::vector<Said> errors = bench.hear("ERROR");
    REQUIRE(errors.size() == 1);
    CHECK(errors[0].value("what") == "malformed");
    CHECK(errors[0].value("kind") == "CUE");
}

TEST_CASE("accepted and refused sound differently by the number of their notes") {
    const auto notes = [](Workbench& bench) {
        int count = 0;
        bool sounding = false;
        for (int i = 0; i < 1500; ++i) {
            bench.pass(1);
            const bool now = bench.board->tone() != 0;
            if (now && !sounding) ++count;
            sounding = now;
        }
        return count;
    };
    Workbench bench;
    bench.set_up();
    bench.board->instrument_writes(print_lens('R', -125, 50, 85));
    CHECK(notes(bench) == 1);
    bench.board->instrument_writes("nonsense\r\n");
    CHECK(notes(bench) == 3);
}
