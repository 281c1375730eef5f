#include <fstream>
#include <nlohmann/json.hpp>

#include "tests/firmware/workbench.hpp"
#include "tests/trees.hpp"

using namespace pairmark::firmware;
using namespace pairmark::firmware::testing;

namespace {

/// A profile with the demo's shape and other framing bytes.
std::string profile_with(const std::string& header) {
    return bytes_of(header + demo_profile.substr(header.size()));
}

void put_in_force(Workbench& bench, const std::string& compact) {
    REQUIRE(bench.upload(compact, pairmark::protocol::crc32(compact.data(), compact.size())).kind == "DONE");
}

nlohmann::json read_vectors(const std::string& name) {
    std::ifstream file(pairmark::tests::in_source_tree("protocol/vectors/" + name));
    REQUIRE(file);
    return nlohmann::json::parse(file);
}

}  // namespace

TEST_CASE("a byte that came damaged makes its capture refused, never a reading") {
    struct Row {
        const char* legend;
        std::uint8_t fault;
        const char* why;
        const char* counter;
    };
    const Row rows[] = {
        {"framing", fault_framing, "framing_error", "framing"},
        {"parity", fault_parity, "parity_error", "framing"},
        {"overrun", fault_overrun, "bytes_lost", "overrun"},
    };
    const std::string good = print_lens('R', -125, 50, 85);
    for (const Row& row : rows) {
        for (const std::size_t place : {std::size_t{0}, good.size() / 2, good.size() - 1}) {
            CAPTURE(row.legend, place);
            Workbench bench;
            bench.set_up();
            bench.forget_lamps();
            bench.board->instrument_writes(good.substr(0, place));
            bench.board->instrument_writes(good.substr(place, 1), row.fault);
            bench.board->instrument_writes(good.substr(place + 1));
            const std::vector<Said> refused = bench.hear("REFUSED", 600);
            REQUIRE(refused.size() == 1);
            CHECK(refused[0].value("why") == row.why);
            CHECK(refused[0].value("len") == std::to_string(good.size()));
            CHECK(refused[0].value("hex") == hex_of(good));
            CHECK(bench.lamp_was_lit(Cue::refused));
            CHECK_FALSE(bench.lamp_was_lit(Cue::accepted));
            CHECK(bench.adapter->outbox().waiting() == 0);
            bench.say("@ASK what=status");
            const std::vector<Said> status = bench.hear("STATUS");
            REQUIRE(status.size() == 1);
            CHECK(status[0].value(row.counter) == "1");
            CHECK(status[0].value("refused") == "1");
        }
    }
}

TEST_CASE("a capture outside the profile's language is refused, told and kept, and the next one is read") {
    Workbench bench;
    bench.set_up();
    std::string wrong = print_lens('R', -125, 50, 85);
    wrong[5] = '3';  // the check sum no longer holds
    bench.board->instrument_writes(wrong);
    const std::vector<Said> refused = bench.hear("REFUSED", 600);
    REQUIRE(refused.size() == 1);
    CHECK(refused[0].value("hex") == hex_of(wrong));
    CHECK(refused[0].value("why") != "(absent)");
    bench.measure(print_lens('R', -125, 50, 85));
    CHECK(bench.take_events().size() == 1);
    bench.power_on();
    bench.pass(1000);
    bench.greet();
    bench.pass(100);
    bench.say("@ASK what=refused");
    const std::vector<Said> kept = bench.hear("REFUSED");
    REQUIRE(kept.size() == 1);
    CHECK(kept[0].value("old") == "1");
    CHECK(kept[0].value("hex") == hex_of(wrong));
    CHECK(kept[0].value("crc") == refused[0].value("crc"));
}

TEST_CASE("the last three refused captures are kept, and asking goes back through them and begins again") {
    Workbench bench;
    bench.set_up();
    bench.say("@ASK what=refused");
    std::vector<Said> kept = bench.hear("REFUSED");
    REQUIRE(kept.size() == 1);
    CHECK(kept[0].value("why") == "none_kept");
    CHECK(kept[0].value("len") == "0");
    for (const char* text : {"one\r\n", "two\r\n", "three\r\n", "four\r\n"})
        bench.measure(text);
    bench.hear();
    for (const char* text : {"four\r\n", "three\r\n", "two\r\n", "four\r\n"}) {
        bench.say("@ASK what=refused");
        kept = bench.hear("REFUSED");
        REQUIRE(kept.size() == 1);
        CHECK(kept[0].value("hex") == hex_of(text));
    }
}

TEST_CASE("a half capture is refused after the profile's silence, one that is too long at its end") {
    Workbench bench;
    bench.set_up();
    bench.board->instrument_writes("R= -01.25 & ");
    CHECK(bench.hear("REFUSED", 190).empty());
    std::vector<Said> refused = bench.hear("REFUSED", 20);
    REQUIRE(refused.size() == 1);
    CHECK(refused[0].value("why") == "cut_short");
    bench.board->instrument_writes(std::string(300, 'x') + "\r\n");
    refused = bench.hear("REFUSED", 300);
    REQUIRE(refused.size() == 1);
    CHECK(refused[0].value("why") == "too_long");
    CHECK(refused[0].value("len") == "302");
    bench.measure(print_lens('L', 25, 0, 0));
    CHECK(bench.take_events().size() == 1);
}

TEST_CASE("captures are found by silence, by length and behind a start byte") {
    const std::string lens = print_lens('R', -125, 50, 85);
    SECTION("by silence") {
        Workbench bench;
        bench.set_up();
        put_in_force(bench, profile_with("01010800030164000000000000000000"));
        bench.board->instrument_writes(lens.substr(0, 10));
        bench.pass(90);
        bench.board->instrument_writes(lens.substr(10));
        bench.pass(90);
        CHECK(bench.adapter->outbox().waiting() == 0);
        bench.pass(400);
        CHECK(bench.take_events().size() == 1);
    }
    SECTION("by length, two in one go") {
        Workbench bench;
        bench.set_up();
        REQUIRE(lens.size() == 0x1E);
        put_in_force(bench, profile_with("0101080003036400"
                                         "1E00000000000000"));
        bench.measure(lens + print_lens('L', 300, -25, 5));
        CHECK(bench.take_events().size() == 2);
    }
    SECTION("behind a start byte; noise before it is kept and is not a capture") {
        Workbench bench;
        bench.set_up();
        put_in_force(bench, profile_with("010308000302C8000000020D0A000052"));
        bench.board->instrument_writes("~~" + lens);
        const std::vector<Said> refused = bench.hear("REFUSED", 600);
        REQUIRE(refused.size() == 1);
        CHECK(refused[0].value("why") == "before_the_start_byte");
        CHECK(refused[0].value("hex") == "7E7E");
        CHECK(bench.take_events(6000).size() == 1);
    }
}

TEST_CASE("without a profile or without an id nothing is accepted, and the reason is told") {
    Workbench bench;
    bench.pass(1000);
    bench.greet(" give=" + our_id);
    bench.pass(1000);
    bench.greet();
    bench.pass(1000);
    bench.hear();
    CHECK(bench.refuse(print_lens('R', -125, 50, 85)).value("why") == "no_profile");

    Workbench nameless;
    nameless.pass(1000);
    nameless.board->hold_keys(key_go);
    nameless.pass(100);
    nameless.board->hold_keys(0);
    nameless.pass(500);
    CHECK(nameless.lamp_was_lit(Cue::refused));
    CHECK(nameless.adapter->outbox().next_number() == 1);
}

TEST_CASE("the raw bytes of a decoded capture are shown in pieces") {
    Workbench bench;
    bench.set_up();
    const std::string lens = print_lens('R', -125, 50, 85);
    bench.board->instrument_writes(lens);
    const std::vector<Said> shown = bench.hear("SHOWN", 600);
    REQUIRE(shown.size() == 1);
    CHECK(shown[0].value("hex") == hex_of(lens));
    CHECK(shown[0].value("at") == "0");
    CHECK(shown[0].value("of") == std::to_string(lens.size()));
}

TEST_CASE("captures of the golden vectors give the readings that they should, by way of the adapter") {
    const nlohmann::json vectors = read_vectors("captures.json");
    std::size_t read = 0;
    for (const auto& [name, profile] : vectors.at("profiles").items()) {
        Workbench bench;
        bench.set_up();
        put_in_force(bench, bytes_of(profile.at("compact").get<std::string>()));
        for (const nlohmann::json& row : vectors.at("captures")) {
            if (row.at("profile") != name || !row.contains("lenses")) continue;
            CAPTURE(row.dump());
            bench.measure(bytes_of(row.at("capture").get<std::string>()));
            bench.pass(1000);
            const std::vector<Said> events = bench.take_events(200);
            REQUIRE(events.size() == 1);
            CHECK(events[0].value("s") == std::to_string(row.at("lenses").at(0).at("sphere").get<int>()));
            CHECK(events[0].value("c") == std::to_string(row.at("lenses").at(0).at("cylinder").get<int>()));
            ++read;
        }
    }
    CHECK(read > 0);
}
