// What the adapter's real image does about its receivers' error flags, full lines and starts.
#include <catch2/catch.hpp>

#include "protocol/crc32.hpp"
#include "protocol/event_record.hpp"
#include "tests/faults/adapter_bench.hpp"
#include "tests/faults/trial_instrument.hpp"

namespace pairmark::sim {
namespace {

constexpr uint16_t timer0_interrupts = 0x6E;  // TIMSK0

void print_with_fault(AdapterBench& bench, const std::string& capture, size_t place, WireFault fault) {
    for (size_t i = 0; i < capture.size(); ++i)
        bench.board.instrument_port().feed(static_cast<uint8_t>(capture[i]),
                                           i == place ? fault : WireFault::none);
}

}  // namespace

TEST_CASE("a receiver's error flag on any byte makes the chip refuse the capture, and the next one is read") {
    struct Row {
        const char* legend;
        WireFault fault;
        const char* why;
        const char* counter;
    };
    const Row rows[] = {
        {"framing", WireFault::framing, "framing_error", "framing"},
        {"parity", WireFault::parity, "parity_error", "framing"},
        {"overrun", WireFault::overrun, "bytes_lost", "overrun"},
    };
    AdapterBench bench;
    REQUIRE(bench.set_up(trial_profile()));
    const std::string good = trial_capture(30);
    uint32_t refusals = 0;
    for (const Row& row : rows) {
        for (const size_t place : {size_t{0}, good.size() / 2, good.size() - 1}) {
            CAPTURE(row.legend, place);
            const uint32_t counted = bench.status(row.counter);
            print_with_fault(bench, good, place, row.fault);
            const Said refused = bench.hear("REFUSED", 1000);
            CHECK(refused.value("why") == row.why);
            CHECK(refused.value("len") == std::to_string(good.size()));
            CHECK(bench.board.pins().is_lit(Lamp::refused));
            CHECK(bench.status(row.counter) == counted + 1);
            CHECK(bench.status("refused") == ++refusals);
            CHECK(bench.status("wait") == 0);
            bench.pass(1500);
            for (const Said& one : bench.take_all())
                CHECK(one.kind != "EVENT");
        }
    }
    bench.print(good);
    const Said event = bench.hear("EVENT", 2000);
    CHECK(event.value("s") == std::to_string(trial_sphere(30)));
    CHECK(event.value("n") == "1");
}

TEST_CASE("an instrument at another speed or parity than the profile's gives refusals, never a reading") {
    struct Row {
        WireSettings sender;
        const char* why;
    };
    const Row rows[] = {{{4800, 8, 'N', 1}, "framing_error"},
                        {{19200, 8, 'N', 1}, "framing_error"},
                        {{9600, 7, 'E', 2}, "framing_error"}};
    for (const Row& row : rows) {
        CAPTURE(row.sender.baud, row.sender.parity);
        AdapterBench bench;
        REQUIRE(bench.set_up(trial_profile()));
        bench.board.instrument_port().set_sender(row.sender);
        bench.print(trial_capture(30));
        CHECK(bench.hear("REFUSED", 1500).value("why") == row.why);
        bench.pass(1500);
        CHECK(bench.status("wait") == 0);
        CHECK(bench.status("framing") > 0);
    }
}

TEST_CASE("both ports at 115200 baud at once: no byte is lost, and the memory is written meanwhile") {
    std::vector<uint8_t> profile = trial_profile();
    profile[2] = 96;  // 96 x 1200 baud
    AdapterBench bench;
    REQUIRE(bench.set_up(profile));
    bench.board.instrument_port().set_sender({115200, 8, 'N', 1});
    bench.board.host_port().set_sender({115200, 8, 'N', 1});
    // One endless capture: its length and check sum, told at its end, prove every single byte.
    std::string noise;
    for (unsigned i = 0; i < 20'000; ++i)
        noise += static_cast<char>(' ' + i * 7 % 90);
    bench.print(noise);
    bench.board.pins().press(BoardKey::go_on, true);
    unsigned asked = 0;
    unsigned answered = 0;
    unsigned events = 0;
    const auto listen = [&] {
        for (const Said& one : bench.take_all()) {
            answered += one.kind == "PONG";
            if (one.kind == "EVENT") {
                ++events;
                bench.acknowledge(one);
            }
        }
    };
    while (bench.board.instrument_port().on_wire() > 0) {
        // As much as the adapter's receive buffer is promised to hold, and more as soon as it was read.
        while (bench.board.host_port().on_wire() < 100 && asked - answered < 6)
            bench.say("@PING n=" + std::to_string(++asked));
        bench.pass(1);
        if (asked == 60) bench.board.pins().press(BoardKey::go_on, false);
        listen();
    }
    bench.print("\r\n");
    const Said refused = bench.hear("REFUSED", 1000);
    noise += "\r\n";
    char crc[9];
    std::snprintf(crc, sizeof crc, "%08X",
                  static_cast<unsigned>(protocol::crc32(noise.data(), noise.size())));
    CHECK(refused.value("why") == "too_long");
    CHECK(refused.value("len") == std::to_string(noise.size()));
    CHECK(refused.value("crc") == crc);
    bench.pass(300);
    listen();
    CHECK(bench.status("good") >= asked);
    CHECK(bench.status("bad") == 0);
    CHECK(bench.status("overrun") == 0);
    CHECK(bench.status("bytes") == noise.size());
    CHECK(asked > 200);
    CHECK(events > 0);
    CHECK(bench.damaged() == 0);
    CHECK(bench.board.host_port().overruns() == 0);
    CHECK(bench.board.instrument_port().overruns() == 0);
    CHECK(bench.board.host_port().overwritten() == 0);
}

TEST_CASE("a stored record with one bit wrong is no record to the chip at its next start") {
    constexpr uint16_t outbox = 0x780;  // SPEC.md, "EEPROM"
    constexpr uint16_t outbox_end = outbox + 45 * protocol::record_size;
    AdapterBench bench;
    REQUIRE(bench.set_up(trial_profile()));
    bench.print(trial_capture(30));
    REQUIRE(bench.hear("EVENT", 2000).value("n") == "1");
    bench.pass(100);
    bench.board.power_cut();
    const EepromBytes whole = bench.board.eeprom().cells();
    uint16_t record = outbox;
    while (record < outbox_end && whole[record] == 0xFF)
        record += protocol::record_size;
    REQUIRE(record < outbox_end);
    for (uint16_t at = 0; at < protocol::record_size; ++at) {
        if (at == protocol::record_cue_at || at == protocol::record_acked_at) continue;
        CAPTURE(at);
        EepromBytes damaged = whole;
        damaged[record + at] = static_cast<uint8_t>(damaged[record + at] ^ (1 << at % 8));
        bench.board.power_cut();
        bench.board.eeprom().load(damaged);
        bench.board.power_on();
        bench.take_all();
        const Said hello = bench.hear("HELLO", 3000);
        CHECK(hello.value("wait") == "0");
        CHECK(hello.value("ep") == "2");
        REQUIRE(bench.greet());
        CHECK(bench.status("torn") == 1);
        CHECK(bench.hear("EVENT", 100).kind.empty());
    }
}

TEST_CASE("an acknowledgement that differs in one thing frees nothing on the chip") {
    AdapterBench bench;
    REQUIRE(bench.set_up(trial_profile()));
    bench.print(trial_capture(30));
    const Said event = bench.hear("EVENT", 2000);
    const std::string id = event.value("id");
    const std::string rec = event.value("rec");
    const std::string wrong[] = {
        "@ACK id=0123456789ABCDEE ep=1 n=1 rec=" + rec, "@ACK id=" + id + " ep=2 n=1 rec=" + rec,
        "@ACK id=" + id + " ep=1 n=2 rec=" + rec, "@ACK id=" + id + " ep=1 n=1 rec=00C0FFEE"};
    uint32_t clashes = 0;
    for (const std::string& line : wrong) {
        CAPTURE(line);
        bench.say(line);
        bench.pass(20);
        CHECK(bench.status("wait") == 1);
        CHECK(bench.status("clash") == ++clashes);
    }
    bench.acknowledge(event);
    bench.pass(20);
    CHECK(bench.status("wait") == 0);
}

TEST_CASE(
    "HELLO tells why the chip started: power, its pin, and the watchdog when the main loop stood still") {
    AdapterBench bench;
    REQUIRE(bench.set_up(trial_profile()));
    bench.board.press_reset();
    CHECK(bench.hear("HELLO", 2000).value("why") == "pin");
    bench.board.power_cut();
    bench.pass(100);
    bench.board.power_on();
    CHECK(bench.hear("HELLO", 2000).value("why") == "power");
    REQUIRE(bench.greet());
    bench.print(trial_capture(30));
    const Said event = bench.hear("EVENT", 2000);
    REQUIRE(event.value("n") == "1");
    const unsigned resets = bench.board.resets();
    // A disturbance stops the only clock of the main loop: it sleeps and nothing wakes it but the watchdog.
    bench.board.disturb(timer0_interrupts, 0);
    bench.pass(900);
    CHECK(bench.board.resets() == resets);
    bench.take_all();
    const Said hello = bench.hear("HELLO", 2000);
    CHECK(bench.board.resets() == resets + 1);
    CHECK(hello.value("why") == "watchdog");
    CHECK(hello.value("wait") == "1");
    REQUIRE(bench.greet());
    const Said again = bench.hear("EVENT", 2000);
    CHECK(again.value("n") == "1");
    CHECK(again.value("rec") == event.value("rec"));
}

}  // namespace pairmark::sim
