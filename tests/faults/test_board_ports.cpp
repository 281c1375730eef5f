#include <catch2/catch.hpp>
#include <vector>

#include "tests/faults/board_bench.hpp"

namespace pairmark::sim {

TEST_CASE("a byte to the host port is echoed") {
    Bench bench;
    CHECK(bench.ask("hello", 5) == "hello");
}

TEST_CASE("a byte from the instrument is copied to the host port") {
    Bench bench;
    for (const char byte : std::string_view("+1.25"))
        bench.board.instrument_port().feed(static_cast<uint8_t>(byte));
    CHECK(bench.hear(5) == "+1.25");
}

TEST_CASE("the effective line settings follow from the registers") {
    Bench bench;
    // 16 MHz / 8 / 17 and 16 MHz / 16 / 104: data sheet, "Internal Clock Generation", table of equations.
    CHECK(bench.board.host_port().settings() == WireSettings{117647, 8, 'N', 1});
    CHECK(bench.board.instrument_port().settings() == WireSettings{9615, 8, 'N', 1});
    CHECK(bench.ask("Px", 1) == "x");
    CHECK(bench.board.instrument_port().settings() == WireSettings{4807, 7, 'E', 1});
}

TEST_CASE("received bytes come no faster than the programmed baud rate allows") {
    struct Row {
        const char* set_up;
        uint64_t cycles_a_byte;
    };
    const Row rows[] = {
        {"x", 16 * 104 * 10},   // 9615 baud, 8N1
        {"Px", 16 * 208 * 10},  // 4807 baud, 7E1: ten bits as well
    };
    for (const Row& row : rows) {
        CAPTURE(row.set_up);
        Bench bench;
        REQUIRE(bench.ask(row.set_up, 1) == "x");
        const uint64_t begin = bench.board.cycle();
        for (int i = 0; i < 100; ++i)
            bench.board.instrument_port().feed('7');
        REQUIRE(
            bench.board.run_until([&] { return bench.board.instrument_port().received() == 100; }, clock_hz));
        const uint64_t took = bench.board.cycle() - begin;
        CHECK(took >= 100 * row.cycles_a_byte);
        CHECK(took < 100 * row.cycles_a_byte + 1000);
    }
}

TEST_CASE("sent bytes leave at the programmed baud rate, back to back") {
    Bench bench;
    std::vector<uint64_t> left_at;
    bench.board.host_port().on_sent = [&](uint8_t) { left_at.push_back(bench.board.cycle()); };
    bench.say("0123456789");
    REQUIRE(bench.board.run_until([&] { return left_at.size() == 10; }, clock_hz));
    for (size_t i = 1; i < left_at.size(); ++i)
        CHECK(left_at[i] - left_at[i - 1] >= 8 * 17 * 10 - 110);
}

TEST_CASE("firmware that does not read in time loses all but three bytes and sees the overrun") {
    Bench bench;
    bench.say("D");
    bench.say("abcdefghij");  // arrive within the 2 ms that interrupts are masked
    CHECK(bench.hear(5) == "dabc");
    CHECK(bench.board.host_port().overruns() == 7);
    CHECK(bench.ask("O", 1) == std::string(1, '\1'));
}

TEST_CASE("a byte that comes while the board has no power is lost, not kept for later") {
    Bench bench;
    bench.board.power_cut();
    bench.say("x");
    bench.board.power_on();
    CHECK(bench.hear(1, 50 * ms).empty());
    CHECK(bench.board.host_port().unheard() == 1);
}

TEST_CASE("a sender set to another speed is heard as framing errors") {
    Bench bench;
    bench.board.instrument_port().set_sender({19200, 8, 'N', 1});
    bench.board.instrument_port().feed('5');
    CHECK(bench.hear(1) != "5");
    bench.board.instrument_port().set_sender({9600, 8, 'N', 1});
    bench.board.instrument_port().feed('5');
    CHECK(bench.hear(1) == "5");
}

TEST_CASE("600 bytes without a line end do no harm") {
    Bench bench;
    const std::string text(600, 'y');
    CHECK(bench.ask(text, 600) == text);
}

}  // namespace pairmark::sim
