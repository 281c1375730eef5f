#include "tests/firmware/workbench.hpp"

using namespace pairmark::firmware;
using namespace pairmark::firmware::testing;

TEST_CASE("a capture becomes an event with the numbers that it showed") {
    Workbench bench;
    bench.set_up();
    bench.measure(print_lens('R', -125, 50, 85));
    const std::vector<Said> events = bench.hear("EVENT");
    REQUIRE(events.size() == 1);
    const Said& event = events[0];
    CHECK(event.value("id") == our_id);
    CHECK(event.value("ep") == "1");
    CHECK(event.value("n") == "1");
    CHECK(event.value("first") == "1");
    CHECK(event.value("k") == "reading");
    CHECK(event.value("e") == "R");
    CHECK(event.value("s") == "-125");
    CHECK(event.value("c") == "50");
    CHECK(event.value("a") == "85");
    CHECK(std::stoul(event.value("age")) < 600);
    bench.acknowledge(event);
    bench.measure(print_lens('L', 200, 0, 0));
    const std::vector<Said> second = bench.hear("EVENT");
    REQUIRE(second.size() == 1);
    CHECK(second[0].value("n") == "2");
    CHECK(second[0].value("first") == "(absent)");
}

TEST_CASE("an event is sent again after 1 s, 2 s and then every 4 s until it is acknowledged exactly") {
    Workbench bench;
    bench.set_up();
    bench.measure(print_lens('R', -125, 50, 85));
    const std::vector<Said> first = bench.hear("EVENT", 1);
    REQUIRE(first.size() == 1);
    std::vector<std::uint32_t> at;
    for (std::uint32_t ms = 0; ms < 16000; ms += 10) {
        if (ms % 5000 == 0) bench.say("@PING n=1");
        if (!bench.hear("EVENT", 10).empty()) at.push_back(ms);
    }
    REQUIRE(at.size() == 5);
    CHECK(at[0] <= 1000);
    CHECK(at[1] - at[0] == 2000);
    CHECK(at[2] - at[1] == 4000);
    CHECK(at[3] - at[2] == 4000);
    CHECK(at[4] - at[3] == 4000);
    bench.acknowledge(first[0]);
    CHECK(bench.hear("EVENT", 9000).empty());
}

TEST_CASE("an acknowledgement that is not exactly of the event in flight is counted and ignored") {
    Workbench bench;
    bench.set_up();
    bench.measure(print_lens('R', -125, 50, 85));
    const std::vector<Said> events = bench.hear("EVENT");
    REQUIRE(events.size() == 1);
    const std::string id = events[0].value("id");
    const std::string rec = events[0].value("rec");
    const std::string other = rec == "00000000" ? "00000001" : "00000000";
    for (const std::string& wrong : {
             "@ACK id=0123456789ABCDEE ep=1 n=1 rec=" + rec,
             "@ACK id=" + id + " ep=2 n=1 rec=" + rec,
             "@ACK id=" + id + " ep=1 n=2 rec=" + rec,
             "@ACK id=" + id + " ep=65537 n=1 rec=" + rec,
             "@ACK id=" + id + " ep=1 n=1 rec=" + other,
         }) {
        CAPTURE(wrong);
        bench.say(wrong);
        bench.pass(100);
        bench.say("@PING n=1");
        const std::vector<Said> pong = bench.hear("PONG");
        REQUIRE(pong.size() == 1);
        CHECK(pong[0].value("wait") == "1");
    }
    bench.say("@ASK what=status");
    const std::vector<Said> status = bench.hear("STATUS");
    REQUIRE(status.size() == 1);
    CHECK(status[0].value("clash") == "5");
}

TEST_CASE("one event is in flight at a time, lowest number first") {
    Workbench bench;
    bench.set_up();
    for (int i = 0; i < 5; ++i)
        bench.measure(print_lens('R', 25 * i, -50, 90));
    const std::vector<Said> events = bench.take_events();
    REQUIRE(events.size() == 5);
    for (int i = 0; i < 5; ++i) {
        CHECK(events[static_cast<std::size_t>(i)].value("n") == std::to_string(i + 1));
        CHECK(events[static_cast<std::size_t>(i)].value("s") == std::to_string(25 * i));
    }
}

TEST_CASE("a reading is cued as accepted only when its record rests whole in the memory") {
    Workbench bench;
    bench.set_up();
    bench.forget_lamps();
    bench.board->instrument_writes(print_lens('R', -125, 50, 85));
    while (!bench.lamp_was_lit(Cue::accepted)) {
        const std::uint64_t before = bench.board->writes();
        bench.pass(1);
        if (bench.lamp_was_lit(Cue::accepted)) {
            CHECK(before >= 48);
            break;
        }
        REQUIRE(bench.board->now_ms() < 60000);
    }
    // Power goes at that very moment: the reading must be there.
    bench.board->cut_now();
    bench.power_on();
    CHECK(bench.adapter->outbox().waiting() == 1);
}

TEST_CASE("a stored reading whose cue nobody saw is cued at the next start, once") {
    Workbench bench;
    bench.set_up();
    bench.board->instrument_writes(print_lens('R', -125, 50, 85));
    const std::uint64_t before = bench.board->writes();
    while (bench.board->writes() < before + 48)
        bench.pass(1);
    while (!bench.board->eeprom_ready())
        bench.board->pass(1);  // the last byte rests, and the power goes
    bench.forget_lamps();
    bench.power_on();
    bench.pass(1500);
    CHECK(bench.lamp_was_lit(Cue::accepted));
    bench.forget_lamps();
    bench.power_on();
    bench.pass(1500);
    CHECK_FALSE(bench.lamp_was_lit(Cue::accepted));
    bench.greet();
    CHECK(bench.take_events().size() == 1);
}

TEST_CASE("a reading that the host had before its lamp could be seen is cued at the next start, once") {
    for (const std::uint32_t lit_for : {1U, 60U, 150U}) {
        CAPTURE(lit_for);
        Workbench bench;
        bench.set_up();
        bench.measure(print_lens('L', 200, -50, 85));
        REQUIRE(bench.take_events(500).size() == 1);
        bench.forget_lamps();
        bench.board->instrument_writes(print_lens('R', -125, 50, 85));
        while (!bench.lamp_was_lit(Cue::accepted))
            bench.pass(1);
        for (std::uint32_t passed = 0; passed < lit_for; ++passed)
            for (const Said& one : bench.hear("EVENT", 1))
                bench.acknowledge(one);
        bench.board->cut_now();
        for (const bool cued : {true, false}) {
            bench.forget_lamps();
            bench.power_on();
            bench.pass(1500);
            CHECK(bench.lamp_was_lit(Cue::accepted) == cued);
        }
        bench.greet();
        CHECK(bench.take_events().size() <= 1);
    }
}

TEST_CASE("an older record is not cued at a start: its cue would be taken for the newest's") {
    Workbench bench;
    bench.set_up();
    bench.measure(print_lens('R', -125, 50, 85));
    bench.measure(print_lens('L', -150, 50, 85));
    REQUIRE(bench.take_events().size() == 2);
    bench.pass(500);
    // As a record that was moved while its start was cut leaves its old copy: acknowledged, never cued.
    bench.eeprom.cells().at(layout::outbox_at + pairmark::protocol::record_cue_at) = 0xFF;
    bench.forget_lamps();
    bench.power_on();
    bench.pass(1500);
    CHECK_FALSE(bench.lamp_was_lit(Cue::accepted));
}

TEST_CASE("of two copies that a cut start left, the record is cued unless one of them says that it was") {
    constexpr std::size_t first = layout::outbox_at;
    constexpr std::size_t second = first + pairmark::protocol::record_size;
    for (const bool said : {false, true}) {
        CAPTURE(said);
        Workbench bench;
        bench.set_up();
        bench.measure(print_lens('R', -125, 50, 85));
        REQUIRE(bench.take_events().size() == 1);
        bench.pass(500);
        auto& cells = bench.eeprom.cells();
        for (std::size_t i = 0; i < pairmark::protocol::record_size; ++i)
            cells.at(second + i) = cells.at(first + i);
        cells.at(first + pairmark::protocol::record_cue_at) = 0xFF;
        cells.at(second + pairmark::protocol::record_cue_at) = said ? 0x00 : 0xFF;
        for (const bool again : {false, true}) {
            bench.forget_lamps();
            bench.power_on();
            bench.pass(1500);
            CHECK(bench.lamp_was_lit(Cue::accepted) == (!said && !again));
        }
    }
}

TEST_CASE(
    "of two copies the next reading never takes the one that says its cue was given, wherever it is cut") {
    using namespace pairmark::protocol;
    constexpr std::size_t first = layout::outbox_at;
    unsigned cuts = 0;
    for (std::uint64_t write = 0; write < record_size; ++write) {
        CAPTURE(write);
        Workbench bench;
        bench.set_up();
        bench.measure(print_lens('R', -125, 50, 85));
        REQUIRE(bench.take_events().size() == 1);
        bench.pass(500);
        // As a start leaves them that was cut while it moved the record: the old copy in front of the new
        // one.
        auto& cells = bench.eeprom.cells();
        for (std::size_t i = 0; i < record_size; ++i)
            cells.at(first + record_size + i) = cells.at(first + i);
        cells.at(first + record_cue_at) = 0xFF;
        bench.power_on();
        bench.pass(1500);
        bench.greet();
        bench.pass(500);
        bench.board->cut_at_write(write);
        bench.board->instrument_writes(print_lens('L', -150, 50, 85));
        bench.pass(1500);
        if (!bench.board->is_dead()) continue;
        ++cuts;
        bench.forget_lamps();
        bench.power_on();
        bench.pass(1500);
        bench.greet();
        const bool kept = !bench.take_events().empty();
        CHECK(bench.lamp_was_lit(Cue::accepted) == kept);
    }
    CHECK(cuts > record_size / 2);
}

TEST_CASE("an epoch never wraps: where it can rise no further nothing is accepted any more") {
    constexpr std::size_t slots[] = {0x00, 0x40};  // SPEC.md, "EEPROM"
    Workbench bench;
    bench.set_up();
    bench.measure(print_lens('R', -125, 50, 85));
    REQUIRE(bench.take_events().size() == 1);
    for (const std::size_t slot : slots) {
        std::uint8_t bytes[40];
        for (std::size_t i = 0; i < sizeof bytes; ++i)
            bytes[i] = bench.eeprom.cells().at(slot + i);
        bytes[2] = bytes[3] = 0xFF;
        put32(bytes + 36, pairmark::protocol::crc32(bytes, 36));
        for (std::size_t i = 0; i < sizeof bytes; ++i)
            bench.eeprom.cells().at(slot + i) = bytes[i];
    }
    bench.power_on();
    bench.pass(1000);
    bench.greet();
    bench.measure(print_lens('R', -150, 50, 85));
    REQUIRE(bench.take_events().size() == 1);  // at its end, but nothing failed
    bench.eeprom.cells().at(layout::outbox_at + 20) ^= 1;
    bench.power_on();
    bench.pass(1000);
    bench.greet();
    bench.hear();
    CHECK(bench.refuse(print_lens('L', -125, 50, 85)).value("why") == "no_numbers_left");
    CHECK(bench.take_events().empty());
}

TEST_CASE(
    "a full memory refuses loudly, overwrites nothing, and takes readings again when the host has some") {
    Workbench bench;
    bench.set_up();
    bench.pass(13000);  // the host is away
    for (int i = 0; i < Outbox::capacity; ++i)
        bench.measure(print_lens('R', 25 * i, -50, 90));
    CHECK(bench.adapter->outbox().free() == 0);
    CHECK(bench.lamp_was_lit(Cue::memory_full));
    bench.forget_lamps();
    bench.measure(print_lens('L', -700, -50, 90));
    CHECK(bench.lamp_was_lit(Cue::refused));
    CHECK_FALSE(bench.lamp_was_lit(Cue::accepted));
    bench.board->hold_keys(key_go);
    bench.pass(200);
    bench.board->hold_keys(0);
    bench.pass(200);
    bench.hear();
    bench.greet();
    const std::vector<Said> events = bench.take_events(20000);
    REQUIRE(events.size() == Outbox::capacity);
    for (int i = 0; i < Outbox::capacity; ++i) {
        CHECK(events[static_cast<std::size_t>(i)].value("s") == std::to_string(25 * i));
    }
    bench.greet();
    bench.measure(print_lens('L', -500, -50, 90));
    const std::vector<Said> next = bench.take_events();
    REQUIRE(next.size() == 1);
    CHECK(next[0].value("n") == std::to_string(Outbox::capacity + 1));
}

TEST_CASE("records are spread over all slots") {
    Workbench bench;
    bench.set_up();
    for (int i = 0; i < 90; ++i) {
        bench.measure(print_lens('R', 25 * (i % 40), -50, 90));
        REQUIRE(bench.take_events(40).size() == 1);
        if (i % 10 == 0) bench.say("@PING n=1");
    }
    for (std::uint16_t slot = 0; slot < layout::outbox_slots; ++slot) {
        const auto at =
            static_cast<std::uint16_t>(layout::outbox_at + slot * pairmark::protocol::record_size + 2);
        CAPTURE(slot);
        CHECK(bench.eeprom.worn(at) == 2);
    }
}

TEST_CASE("an age is given only within the start in which the event was taken") {
    Workbench bench;
    bench.set_up();
    bench.pass(13000);
    bench.measure(print_lens('R', -125, 50, 85));
    bench.pass(5000);
    bench.greet();
    std::vector<Said> events = bench.hear("EVENT", 100);
    REQUIRE(events.size() == 1);
    CHECK(std::stoul(events[0].value("age")) >= 5000);
    bench.power_on();
    bench.pass(1000);
    bench.greet();
    events = bench.hear("EVENT", 100);
    REQUIRE(events.size() == 1);
    CHECK(events[0].value("age") == "(absent)");
}

TEST_CASE("numbers never wrap: behind the last one readings are refused") {
    Workbench bench;
    bench.set_up();
    pairmark::protocol::EventFields last;
    last.number = 0xFFFFFFFE;
    last.epoch = 1;
    last.kind = pairmark::protocol::EventKind::key;
    std::uint8_t bytes[pairmark::protocol::record_size];
    pairmark::protocol::pack_record(last, bytes);
    bytes[pairmark::protocol::record_cue_at] = bytes[pairmark::protocol::record_acked_at] = 0;
    for (std::size_t i = 0; i < sizeof bytes; ++i)
        bench.eeprom.write(static_cast<std::uint16_t>(layout::outbox_at + i), bytes[i]);
    bench.power_on();
    bench.pass(1000);
    bench.greet();
    bench.measure(print_lens('R', -125, 50, 85));
    const std::vector<Said> events = bench.take_events();
    REQUIRE(events.size() == 1);
    CHECK(events[0].value("n") == "4294967295");
    CHECK(bench.refuse(print_lens('L', -125, 50, 85)).value("why") == "no_numbers_left");
    CHECK(bench.take_events().empty());
}
