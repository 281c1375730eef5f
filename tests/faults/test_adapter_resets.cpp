// Resets that find the adapter in the middle of something: the reset key, the watchdog, a supply that sags.
#include <catch2/catch.hpp>

#include "tests/faults/adapter_bench.hpp"
#include "tests/faults/trial_instrument.hpp"

namespace pairmark::sim {
namespace {

constexpr uint16_t host_control = 0xC1;  // UCSR0B
constexpr uint8_t empty_interrupt = 0x20;
constexpr uint16_t timer0_interrupts = 0x6E;  // TIMSK0
constexpr uint64_t ms = clock_hz / 1000;

/// Runs to the moment at which that many more EEPROM writes have begun.
bool run_to_write(AdapterBench& bench, uint64_t more) {
    const uint64_t writes = bench.board.eeprom().writes() + more;
    return bench.board.run_until([&] { return bench.board.eeprom().writes() >= writes; }, 5000 * ms);
}

}  // namespace

TEST_CASE("a reset while the memory is being written waits for that byte before anything is read") {
    // The write goes on through a reset (data sheet, "EEPROM Write"), and what is read meanwhile is not what
    // is stored: read at once, both settings slots would look torn, and the identity would be gone.
    for (const uint64_t after : {0u, 1u, 2u, 3u}) {
        for (const uint64_t write : {1u, 24u, 48u, 49u}) {
            CAPTURE(after, write);
            AdapterBench bench;
            REQUIRE(bench.set_up(trial_profile()));
            bench.print(trial_capture(30));
            REQUIRE(run_to_write(bench, write));
            bench.board.run_for(after * ms);
            bench.board.press_reset();
            bench.take_all();
            const Said hello = bench.hear("HELLO", 3000);
            CHECK(hello.value("why") == "pin");
            CHECK(hello.value("id") == "0123456789ABCDEF");
            CHECK(hello.value("prof") != "none");
            // A record of which a part is missing is torn; one that was whole is not.
            CHECK(hello.value("ep") == (write < 48 ? "2" : "1"));
            CHECK(hello.value("wait") == (write < 48 ? "0" : "1"));
        }
    }
}

TEST_CASE("a supply that sags while the memory is being written tears the byte and loses nothing accepted") {
    AdapterBench bench;
    REQUIRE(bench.set_up(trial_profile()));
    bench.print(trial_capture(30));
    const Said first = bench.hear("EVENT", 2000);
    REQUIRE(first.value("n") == "1");
    bench.pass(500);
    bench.print(trial_capture(31));
    REQUIRE(run_to_write(bench, 20));
    bench.pass(1);
    bench.board.power_cut();
    REQUIRE(bench.board.eeprom().torn_writes() == 1);
    bench.pass(20);
    bench.board.power_on(ResetCause::brown_out);
    const Said hello = bench.hear("HELLO", 3000);
    CHECK(hello.value("why") == "brown");
    CHECK(hello.value("ep") == "2");
    CHECK(hello.value("wait") == "1");
    REQUIRE(bench.greet());
    CHECK(bench.status("torn") == 1);
    CHECK(bench.hear("EVENT", 5000).value("rec") == first.value("rec"));
}

TEST_CASE("a torn byte is rewritten by the next start: no byte of the memory is torn any more") {
    AdapterBench bench;
    REQUIRE(bench.set_up(trial_profile()));
    for (const uint64_t write : {1u, 7u, 30u, 44u, 45u, 46u}) {
        CAPTURE(write);
        bench.print(trial_capture(30));
        REQUIRE(run_to_write(bench, write));
        bench.pass(1);
        const uint64_t torn = bench.board.eeprom().torn_writes();
        bench.board.power_cut();
        REQUIRE(bench.board.eeprom().torn_writes() == torn + 1);
        bench.pass(200);
        bench.board.power_on();
        REQUIRE(!bench.hear("HELLO", 3000).kind.empty());
        REQUIRE(bench.greet());
        bench.pass(800);
        for (uint16_t at = 0; at < eeprom_size; ++at)
            CHECK_FALSE(bench.board.eeprom().is_torn(at));
        while (bench.status("wait") > 0) {
            bench.acknowledge(bench.hear("EVENT", 9000));
            bench.pass(50);
        }
    }
}

TEST_CASE("every wait of the main loop ends by the watchdog if what is waited for does not come") {
    struct Row {
        const char* legend;
        void (*break_it)(AdapterBench&);
    };
    const Row rows[] = {
        {"sleep, and the clock stands still",
         [](AdapterBench& bench) { bench.board.disturb(timer0_interrupts, 0); }},
        {"the memory never gets ready",
         [](AdapterBench& bench) {
             bench.board.eeprom().stick();
             bench.print(trial_capture(30));
         }},
        {"the port to the computer stops sending in the middle of a line",
         [](AdapterBench& bench) {
             bench.say("@ASK what=status");
             bench.pass(12);
             bench.board.disturb(host_control,
                                 static_cast<uint8_t>(bench.board.peek(host_control) & ~empty_interrupt));
         }},
    };
    for (const Row& row : rows) {
        CAPTURE(row.legend);
        AdapterBench bench;
        REQUIRE(bench.set_up(trial_profile()));
        const unsigned resets = bench.board.resets();
        row.break_it(bench);
        bench.pass(700);
        CHECK(bench.board.resets() == resets);
        bench.pass(800);
        CHECK(bench.board.resets() >= resets + 1);
        CHECK(bench.board.peek(mcusr) == 0);  // read and cleared by the start
    }
}

TEST_CASE("a busy adapter is never reset by its own watchdog") {
    AdapterBench bench;
    REQUIRE(bench.set_up(trial_profile()));
    const unsigned resets = bench.board.resets();
    unsigned asked = 0;
    for (unsigned ms_passed = 0; ms_passed < 6000; ++ms_passed) {
        if (bench.board.host_port().on_wire() < 100) bench.say("@PING n=" + std::to_string(++asked));
        if (bench.board.instrument_port().on_wire() < 100) bench.print(trial_capture(ms_passed % 48));
        bench.pass(1);
        for (const Said& one : bench.take_all())
            if (one.kind == "EVENT") bench.acknowledge(one);
    }
    CHECK(asked > 200);
    CHECK(bench.board.resets() == resets);
}

}  // namespace pairmark::sim
