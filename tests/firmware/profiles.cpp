#include <algorithm>

#include "tests/firmware/workbench.hpp"

using namespace pairmark::firmware;
using namespace pairmark::firmware::testing;

namespace {

std::uint32_t crc_of(const std::string& bytes) {
    return pairmark::protocol::crc32(bytes.data(), bytes.size());
}

/// The demo profile with another silence, so that its CRC differs.
std::string other_profile() {
    std::string compact = bytes_of(demo_profile);
    compact[6] = '\x64';
    return compact;
}

}  // namespace

TEST_CASE("a profile comes in pieces, is in force at once and after the next start") {
    Workbench bench;
    bench.set_up();
    CHECK(bench.adapter->profile().crc() == crc_of(bytes_of(demo_profile)));
    REQUIRE(bench.board->instrument_settings());
    CHECK(bench.board->instrument_settings()->baud == 9600);
    bench.power_on();
    const std::vector<Said> hello = bench.hear("HELLO", 1000);
    REQUIRE(!hello.empty());
    CHECK(std::stoul(hello[0].value("prof"), nullptr, 16) == crc_of(bytes_of(demo_profile)));
}

TEST_CASE("a wrong check sum or a bad form is refused, and the old profile stays in force") {
    Workbench bench;
    bench.set_up();
    const std::uint32_t old_crc = bench.adapter->profile().crc();
    const std::string other = other_profile();
    Said answer = bench.upload(other, crc_of(other) ^ 1);
    CHECK(answer.kind == "ERROR");
    CHECK(answer.value("what") == "profile");
    CHECK(answer.value("why") == "wrong_check_sum");
    CHECK(bench.adapter->profile().crc() == old_crc);

    std::string bad = other;
    bad[0] = 9;  // no such version
    answer = bench.upload(bad, crc_of(bad));
    CHECK(answer.kind == "ERROR");
    CHECK(answer.value("what") == "profile");
    CHECK(bench.adapter->profile().crc() == old_crc);
    bench.measure(print_lens('R', -125, 50, 85));
    CHECK(bench.take_events().size() == 1);
    bench.power_on();
    bench.pass(1000);
    CHECK(bench.adapter->profile().crc() == old_crc);
    CHECK(bench.adapter->settings().values().epoch == 1);
}

TEST_CASE("pieces out of order or too large are refused, a piece sent twice is taken once") {
    Workbench bench;
    bench.set_up();
    struct Row {
        const char* line;
        const char* kind;
        const char* why;
    };
    const Row rows[] = {
        {"@PART at=2 of=8 hex=0102", "ERROR", "out_of_order"},
        {"@PART at=0 of=753 hex=0102", "ERROR", "size"},
        {"@PART at=0 of=1 hex=0102", "ERROR", "size"},
        {"@PART at=0 of=8 hex=0102", "TOOK", "(absent)"},
        {"@PART at=2 of=8 hex=0304", "TOOK", "(absent)"},
        {"@PART at=2 of=8 hex=0304", "TOOK", "(absent)"},
        {"@PART at=2 of=8 hex=0305", "ERROR", "out_of_order"},
        {"@PART at=4 of=9 hex=0506", "ERROR", "out_of_order"},
        {"@COMMIT len=8 crc=00000000", "ERROR", "pieces_are_missing"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.line);
        bench.say(row.line);
        bench.pass(500);
        const std::vector<Said> said = bench.hear();
        REQUIRE(said.size() == 1);
        CHECK(said[0].kind == row.kind);
        CHECK(said[0].value("why") == row.why);
    }
}

TEST_CASE("a profile is not changed while an event waits") {
    Workbench bench;
    bench.set_up();
    const std::string other = other_profile();
    bench.measure(print_lens('R', -125, 50, 85));
    REQUIRE(bench.hear("EVENT").size() == 1);
    bench.say("@COMMIT len=" + std::to_string(other.size()) + " crc=00000000");
    const std::vector<Said> errors = bench.hear("ERROR");
    REQUIRE(errors.size() == 1);
    CHECK(errors[0].value("what") == "busy");
}

TEST_CASE(
    "power cut at every write of a profile's upload leaves the old or the new one in force, never a "
    "mixture") {
    Workbench prepared;
    prepared.set_up();
    const std::uint32_t old_crc = crc_of(bytes_of(demo_profile));
    const std::string other = other_profile();
    std::size_t olds = 0;
    for (std::uint64_t cut = 0;; ++cut) {
        INFO("cut at write " << cut);
        Workbench bench;
        bench.eeprom = prepared.eeprom;
        bench.power_on();
        bench.pass(1000);
        bench.greet();
        bench.pass(100);
        bench.hear();
        bench.board->cut_at_write(cut);
        bool done = false;
        for (std::size_t at = 0; at < other.size(); at += 64) {
            bench.say("@PART at=" + std::to_string(at) + " of=" + std::to_string(other.size()) +
                      " hex=" + hex_of(std::string_view(other).substr(at, 64)));
            bench.pass(500);
        }
        char commit[48];
        std::snprintf(commit, sizeof commit, "@COMMIT len=%zu crc=%08X", other.size(),
                      static_cast<unsigned>(crc_of(other)));
        bench.say(commit);
        done = !bench.hear("DONE", 500).empty();
        const bool fell = bench.board->is_dead();
        std::uint32_t in_force = 0;
        for (int boot = 0; boot < 4; ++boot) {  // a torn byte has its chance to read otherwise
            bench.power_on();
            bench.pass(1500);
            REQUIRE(bench.adapter->profile().is_open());
            const std::uint32_t now = bench.adapter->profile().crc();
            CHECK((now == old_crc || now == crc_of(other)));
            if (done) CHECK(now == crc_of(other));
            if (boot > 0) CHECK(now == in_force);
            in_force = now;
        }
        if (in_force == old_crc) ++olds;
        if (!fell) {
            CHECK(done);
            break;
        }
    }
    CHECK(olds > 80);
}
