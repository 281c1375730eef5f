// Computers that misbehave, and adapters that are not who they seem: by way of the real image.
#include <catch2/catch.hpp>

#include "protocol/crc32.hpp"
#include "protocol/event_record.hpp"
#include "tests/faults/adapter_bench.hpp"
#include "tests/faults/host_model.hpp"
#include "tests/faults/trial_instrument.hpp"
#include "tests/trees.hpp"

namespace pairmark::sim {
namespace {

constexpr uint16_t outbox = 0x780;  // SPEC.md, "EEPROM"
constexpr uint64_t ms = clock_hz / 1000;

/// A greeted adapter with one reading that nobody acknowledged.
Said set_up_with_one(AdapterBench& bench) {
    REQUIRE(bench.set_up(trial_profile()));
    bench.print(trial_capture(30));
    const Said event = bench.hear("EVENT", 2000);
    REQUIRE(event.value("n") == "1");
    return event;
}

void measure(AdapterBench& bench, unsigned lens) {
    bench.print(trial_capture(lens));
    bench.pass(450);
}

/// Takes and acknowledges everything; the numbers in the order in which they came.
std::vector<std::string> take_numbers(AdapterBench& bench) {
    std::vector<std::string> numbers;
    for (Said event = bench.hear("EVENT", 5000); !event.kind.empty(); event = bench.hear("EVENT", 5000)) {
        numbers.push_back(event.value("n"));
        bench.acknowledge(event);
    }
    return numbers;
}

/// What the adapter's memory holds, after a moment of rest and without power.
EepromBytes memory_of(AdapterBench& bench) {
    bench.pass(500);
    bench.board.power_cut();
    return bench.board.eeprom().cells();
}

Said boot_with(AdapterBench& bench, const EepromBytes& cells) {
    bench.board.power_cut();
    bench.board.eeprom().load(cells);
    bench.board.power_on();
    bench.take_all();
    return bench.hear("HELLO", 3000);
}

/// A board whose computer keeps what it is told for good.
struct Bench {
    explicit Bench(const EepromBytes& cells)
        : board(tests::in_build_tree("firmware/pairmark-adapter.elf")), host(board, trial_profile()) {
        board.eeprom().load(cells);
        board.power_on();
    }
    bool get_ready() {
        return board.run_until([&] { return host.greeted() && host.profile_in_force(); }, 8000 * ms);
    }
    void measure(unsigned lens) {
        for (const char byte : trial_capture(lens))
            board.instrument_port().feed(static_cast<uint8_t>(byte));
        board.run_for(1000 * ms);
    }
    Board board;
    HostModel host;
};

}  // namespace

TEST_CASE(
    "a computer that stalls gets the event again and again, one in flight, and every reading in order") {
    AdapterBench bench;
    const Said first = set_up_with_one(bench);
    for (unsigned lens = 31; lens < 36; ++lens)
        measure(bench, lens);
    unsigned again = 0;
    for (const Said& one : bench.take_all()) {
        if (one.kind != "EVENT") continue;
        ++again;
        CHECK(one.value("n") == "1");
        CHECK(one.value("rec") == first.value("rec"));
    }
    CHECK(again >= 1);
    CHECK(bench.status("again") == again);
    CHECK(bench.status("wait") == 6);
    const std::vector<std::string> in_order{"1", "2", "3", "4", "5", "6"};
    CHECK(take_numbers(bench) == in_order);
}

TEST_CASE(
    "a computer that vanishes is called, and readings are kept meanwhile and told once when it is back") {
    AdapterBench bench;
    (void)set_up_with_one(bench);
    bench.pass(12'500);
    bench.take_all();
    CHECK(bench.hear("HELLO", 2500).value("wait") == "1");
    CHECK(bench.board.pins().is_lit(Lamp::accepted) == false);
    for (unsigned lens = 31; lens < 34; ++lens)
        measure(bench, lens);
    bench.take_all();
    REQUIRE(bench.greet());
    const std::vector<std::string> in_order{"1", "2", "3", "4"};
    CHECK(take_numbers(bench) == in_order);
    CHECK(bench.status("wait") == 0);
}

TEST_CASE("an answer that comes late or twice frees its own event and no other") {
    AdapterBench bench;
    const Said first = set_up_with_one(bench);
    measure(bench, 31);
    bench.pass(3000);  // sent three times by now
    bench.take_all();
    bench.acknowledge(first);
    bench.acknowledge(first);
    bench.acknowledge(first);
    const Said second = bench.hear("EVENT", 500);
    CHECK(second.value("n") == "2");
    CHECK(bench.status("clash") == 2);
    CHECK(bench.status("wait") == 1);
    bench.acknowledge(second);
    bench.pass(50);
    bench.acknowledge(second);
    bench.pass(50);
    CHECK(bench.status("wait") == 0);
    CHECK(bench.status("clash") == 3);
}

TEST_CASE("an acknowledgement of an event that was not sent yet frees nothing") {
    AdapterBench bench;
    const Said first = set_up_with_one(bench);
    measure(bench, 31);
    const EepromBytes cells = memory_of(bench);
    uint8_t record[protocol::record_size];
    for (size_t i = 0; i < sizeof record; ++i)
        record[i] = cells[outbox + protocol::record_size + i];
    protocol::EventFields fields;
    uint32_t crc = 0;
    REQUIRE(protocol::unpack_record(record, fields, crc));
    REQUIRE(fields.number == 2);
    bench.board.power_on();
    REQUIRE(!bench.hear("HELLO", 3000).kind.empty());
    REQUIRE(bench.greet());
    REQUIRE(bench.hear("EVENT", 1000).value("rec") == first.value("rec"));
    char rec[9];
    std::snprintf(rec, sizeof rec, "%08X", static_cast<unsigned>(crc));
    bench.say("@ACK id=0123456789ABCDEF ep=1 n=2 rec=" + std::string(rec));
    bench.pass(50);
    CHECK(bench.status("wait") == 2);
    CHECK(bench.status("clash") == 1);
}

TEST_CASE(
    "another computer with another store gets what waits, and what the first acknowledged is not told as "
    "its") {
    AdapterBench bench;
    const Said first = set_up_with_one(bench);
    bench.acknowledge(first);
    measure(bench, 31);
    bench.take_all();
    bench.say("@GREET proto=1 store=00000000000000AA acked=0");
    CHECK(bench.hear("READY", 2000).value("wait") == "1");
    CHECK(bench.hear("EVENT", 2000).value("n") == "2");
    Said hello = boot_with(bench, memory_of(bench));
    CHECK(hello.value("store") == "00000000000000AA");
    CHECK(hello.value("acked") == "0");
    CHECK(hello.value("wait") == "1");
    CHECK(hello.value("next") == "3");
    bench.say("@GREET proto=1 store=00000000000000AA acked=0");
    const std::vector<std::string> only{"2"};
    CHECK(take_numbers(bench) == only);
    hello = boot_with(bench, memory_of(bench));
    CHECK(hello.value("acked") == "2");
}

TEST_CASE("a record that rots after the computer has it does not make its number clash") {
    AdapterBench bench;
    const Said first = set_up_with_one(bench);
    bench.acknowledge(first);
    EepromBytes cells = memory_of(bench);
    Bench before(cells);
    REQUIRE(before.get_ready());
    before.measure(31);
    before.board.run_for(500 * ms);
    before.board.power_cut();
    cells = before.board.eeprom().cells();
    for (unsigned slot = 0; slot < 2; ++slot)
        cells[outbox + slot * protocol::record_size + 20] ^= 4;
    Bench after(cells);
    after.host.hold_what(before.host);
    REQUIRE(after.get_ready());
    after.measure(32);
    after.measure(33);
    CHECK_FALSE(after.host.clashed());
    CHECK(after.host.readings().size() == 3);
}

TEST_CASE("a cloned adapter's number with another reading is never acknowledged, and waits in the clone") {
    AdapterBench original;
    const Said first = set_up_with_one(original);
    original.acknowledge(first);
    const EepromBytes cells = memory_of(original);
    Bench one(cells);
    REQUIRE(one.get_ready());
    one.measure(31);
    REQUIRE(one.host.readings().size() == 1);
    Bench clone(cells);
    clone.host.hold_what(one.host);
    REQUIRE(clone.get_ready());
    clone.measure(35);
    CHECK(clone.host.clashed());
    CHECK(clone.host.readings().size() == 1);  // that of the first one
    clone.host.ping();
    clone.board.run_for(100 * ms);
    CHECK(clone.host.waiting() == 1);
}

TEST_CASE(
    "a wiped memory is a new adapter: nothing is accepted before it has an id, then numbers begin at 1") {
    AdapterBench bench;
    (void)set_up_with_one(bench);
    EepromBytes blank;
    blank.fill(0xFF);
    const Said hello = boot_with(bench, blank);
    CHECK(hello.value("id") == "none");
    CHECK(hello.value("ep") == "1");
    CHECK(hello.value("next") == "1");
    CHECK(hello.value("wait") == "0");
    bench.print(trial_capture(30));
    bench.pass(400);
    bench.say("@GREET proto=1 store=FEDCBA9876543210 acked=0 give=1111111111111111");
    REQUIRE(bench.hear("HELLO", 3000).value("id") == "1111111111111111");
    REQUIRE(bench.greet());
    CHECK(bench.status("wait") == 0);
    REQUIRE(bench.upload(trial_profile()));
    bench.print(trial_capture(30));
    const Said event = bench.hear("EVENT", 2000);
    CHECK(event.value("id") == "1111111111111111");
    CHECK(event.value("n") == "1");
}

TEST_CASE("a memory that lost only its settings keeps its readings, under a new id") {
    AdapterBench bench;
    const Said first = set_up_with_one(bench);
    EepromBytes cells = memory_of(bench);
    for (size_t at = 0; at < 0x80; ++at)
        cells[at] = 0xFF;
    const Said hello = boot_with(bench, cells);
    CHECK(hello.value("id") == "none");
    CHECK(hello.value("wait") == "1");
    CHECK(hello.value("next") == "2");
    bench.say("@GREET proto=1 store=FEDCBA9876543210 acked=0 give=1111111111111111");
    REQUIRE(bench.hear("HELLO", 3000).value("id") == "1111111111111111");
    REQUIRE(bench.greet());
    const Said event = bench.hear("EVENT", 2000);
    CHECK(event.value("id") == "1111111111111111");
    CHECK(event.value("rec") == first.value("rec"));
}

TEST_CASE("behind the last number the chip refuses, loudly, and what waits is still told") {
    AdapterBench bench;
    REQUIRE(bench.set_up(trial_profile()));
    EepromBytes cells = memory_of(bench);
    protocol::EventFields last;
    last.kind = protocol::EventKind::key;
    last.number = 0xFFFFFFFE;
    last.epoch = 1;
    uint8_t record[protocol::record_size];
    protocol::pack_record(last, record);
    record[protocol::record_cue_at] = record[protocol::record_acked_at] = 0;
    for (size_t i = 0; i < sizeof record; ++i)
        cells[outbox + i] = record[i];
    CHECK(boot_with(bench, cells).value("next") == "4294967295");
    REQUIRE(bench.greet());
    bench.print(trial_capture(30));
    CHECK(bench.hear("EVENT", 2000).value("n") == "4294967295");
    bench.print(trial_capture(31));
    CHECK(bench.hear("REFUSED", 2000).value("why") == "no_numbers_left");
    CHECK(bench.board.pins().is_lit(Lamp::refused));
    CHECK(bench.status("wait") == 1);
    CHECK(boot_with(bench, memory_of(bench)).value("next") == "4294967295");
    REQUIRE(bench.greet());
    const Said event = bench.hear("EVENT", 2000);
    CHECK(event.value("n") == "4294967295");
    bench.acknowledge(event);
    bench.pass(50);
    CHECK(bench.status("wait") == 0);
}

}  // namespace pairmark::sim
