// The adapter's real image on the simulated board.
#include <catch2/catch.hpp>

#include "firmware/sim/board.hpp"
#include "tests/faults/host_model.hpp"
#include "tests/faults/trial_instrument.hpp"
#include "tests/trees.hpp"

namespace pairmark::sim {

constexpr uint64_t one_ms = clock_hz / 1000;

TEST_CASE("the adapter introduces itself with a valid HELLO within two seconds of power on") {
    Board board(tests::in_build_tree("firmware/pairmark-adapter.elf"));
    protocol::LineReader reader;
    bool hello = false;
    board.host_port().on_sent = [&](uint8_t byte) {
        if (reader.take(byte) == protocol::LineReader::Found::line) hello |= reader.line().kind() == "HELLO";
    };
    board.power_on();
    CHECK(board.run_until([&] { return hello; }, 2000 * one_ms));
    CHECK(reader.damaged() == 0);
    // 115200 baud within the 2 % that the data sheet recommends for 8 data bits without parity (double
    // speed 1.5 % apart, table of recommended errors): 2.1 % is what 16 MHz can do.
    const WireSettings settings = board.host_port().settings();
    CHECK(settings.baud > 115200 * 0.975);
    CHECK(settings.baud < 115200 * 1.025);
    CHECK(settings.data_bits == 8);
    CHECK(settings.parity == 'N');
}

TEST_CASE("a profile sets the instrument's line, and a capture becomes a reading at the host") {
    Board board(tests::in_build_tree("firmware/pairmark-adapter.elf"));
    HostModel host(board, trial_profile());
    board.power_on();
    REQUIRE(board.run_until([&] { return host.profile_in_force(); }, 10'000 * one_ms));
    board.run_for(10 * one_ms);
    CHECK(board.instrument_port().settings().baud == 9615);
    for (const char byte : trial_capture(30))
        board.instrument_port().feed(static_cast<uint8_t>(byte));
    REQUIRE(board.run_until([&] { return host.readings().size() == 1; }, 2000 * one_ms));
    CHECK(host.readings()[0].lens[0].sphere == trial_sphere(30));
    CHECK(host.readings()[0].lens[0].cylinder == -50);
    CHECK(host.readings()[0].lens[0].axis == 31);
    CHECK(board.host_port().overruns() == 0);
    CHECK(board.instrument_port().overruns() == 0);
}

}  // namespace pairmark::sim
