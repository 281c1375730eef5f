#include <catch2/catch.hpp>

#include "tests/faults/board_bench.hpp"
#include "tests/trees.hpp"

namespace pairmark::sim {

TEST_CASE("each key lights its lamp") {
    for (unsigned i = 0; i < 4; ++i) {
        CAPTURE(i);
        Bench bench;
        bench.board.pins().press(static_cast<BoardKey>(i), true);
        bench.board.run_for(3 * ms);
        CHECK(bench.board.lamps() == (1u << i));
        bench.board.pins().press(static_cast<BoardKey>(i), false);
        bench.board.run_for(3 * ms);
        CHECK(bench.board.lamps() == 0);
    }
}

TEST_CASE("a tone is heard at its pitch until it is stopped") {
    Bench bench;
    CHECK(bench.board.tone_hz() == 0);
    bench.ask("Bx", 1);
    CHECK(bench.board.tone_hz() == 1000);  // 16 MHz / (2 x 8 x 1000)
    bench.ask("Sx", 1);
    CHECK(bench.board.tone_hz() == 0);
}

TEST_CASE("without power nothing is lit or heard, and time goes on") {
    Bench bench;
    bench.board.pins().press(BoardKey::go_on, true);
    bench.ask("Bx", 1);
    bench.board.power_cut();
    const uint64_t begin = bench.board.cycle();
    CHECK(bench.board.run_for(7 * ms));
    CHECK(bench.board.cycle() == begin + 7 * ms);
    CHECK(bench.board.lamps() == 0);
    CHECK(bench.board.tone_hz() == 0);
    CHECK(bench.board.state() == BoardState::dead);
    bench.board.power_on();
    CHECK(bench.board.state() == BoardState::running);
}

TEST_CASE("hanging firmware is reset by the watchdog, and a key that is held stays held") {
    Bench bench;
    bench.board.pins().press(BoardKey::undo, true);
    bench.board.run_for(3 * ms);
    REQUIRE(bench.board.lamps() == 0x04);
    const unsigned resets = bench.board.resets();
    bench.say("H");
    bench.board.run_for(200 * ms);
    CHECK(bench.board.resets() == resets);
    bench.board.run_for(200 * ms);
    CHECK(bench.board.resets() == resets + 1);
    CHECK(bench.ask("M", 1) == "\x08");  // the watchdog's flag, and no other
    CHECK(bench.board.lamps() == 0x04);
}

TEST_CASE("the cause of a start is told by its flag") {
    Bench bench;
    CHECK(bench.ask("M", 1) == "\x01");
    bench.board.press_reset();
    bench.board.run_for(2 * ms);
    CHECK(bench.ask("M", 1) == "\x02");
    bench.board.power_cut();
    bench.board.power_on();
    bench.board.run_for(2 * ms);
    CHECK(bench.ask("M", 1) == "\x01");
}

TEST_CASE("firmware that stops for good or loops for ever does not stop time") {
    struct Row {
        const char* image;
        BoardState state;
    };
    for (const Row& row : {Row{"dead", BoardState::dead}, Row{"hang", BoardState::running}}) {
        CAPTURE(row.image);
        Bench bench(row.image);
        const uint64_t begin = bench.board.cycle();
        CHECK(bench.board.run_for(300 * ms));
        CHECK(bench.board.cycle() - begin >= 300 * ms);
        CHECK(bench.board.cycle() - begin < 300 * ms + 100);
        CHECK(bench.board.state() == row.state);
        bench.board.power_cut();
        bench.board.power_on();
        CHECK(bench.board.state() == BoardState::running);
    }
}

TEST_CASE("a sleeping chip never oversleeps the cycle that was asked for") {
    Bench bench;
    for (uint64_t step : {1u, 17u, 1000u, 15999u, 16001u, 12345678u}) {
        const uint64_t goal = bench.board.cycle() + step;
        CHECK(bench.board.run_until(goal));
        CHECK(bench.board.cycle() >= goal);
        CHECK(bench.board.cycle() < goal + 50);
    }
}

TEST_CASE("a missing or foreign image is refused with its name") {
    CHECK_THROWS_WITH(Board("/nonexistent.elf"), Catch::Contains("/nonexistent.elf"));
    CHECK_THROWS_WITH(Board(pairmark::tests::in_source_tree("CMakeLists.txt")),
                      Catch::Contains("not an ELF image"));
}

}  // namespace pairmark::sim
