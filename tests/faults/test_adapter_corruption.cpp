// Corrupted lines into the real image. PAIRMARK_LONG=1 sends 20,000 of them, else 2,000.
#include <catch2/catch.hpp>
#include <cstdlib>
#include <random>

#include "tests/faults/adapter_bench.hpp"
#include "tests/faults/trial_instrument.hpp"

namespace pairmark::sim {
namespace {

unsigned lines_to_send() {
    const char* wish = std::getenv("PAIRMARK_LONG");
    return wish != nullptr && std::string(wish) == "1" ? 20'000 : 2'000;
}

/// One line, damaged as cables do: a bit, a byte, a piece lost, a piece twice, another line's end.
std::string damaged(const std::string& line, const std::string& other, std::mt19937& chance) {
    std::string bytes = line;
    const auto pick = [&](size_t below) { return static_cast<size_t>(chance() % below); };
    const size_t at = pick(line.size() - 2);
    switch (chance() % 5) {
        case 0:
            bytes[at] = static_cast<char>(bytes[at] ^ (1 << pick(8)));
            break;
        case 1:
            bytes[at] = static_cast<char>(chance());
            break;
        case 2:
            bytes.erase(at, 1 + pick(line.size() - 2 - at));
            break;
        case 3:
            bytes.insert(at, bytes.substr(pick(at + 1), 1 + pick(6)));
            break;
        default:
            bytes = line.substr(0, at) + other.substr(pick(other.size()));
            break;
    }
    return bytes;
}

/// What one who reads by the protocol finds in these bytes.
bool holds_a_line(protocol::LineReader& reader, const std::string& bytes) {
    bool found = false;
    for (const char byte : bytes)
        found |= reader.take(static_cast<uint8_t>(byte)) == protocol::LineReader::Found::line;
    return found;
}

}  // namespace

TEST_CASE("no corrupted line is obeyed by the chip") {
    AdapterBench bench;
    REQUIRE(bench.set_up(trial_profile()));
    // Each of these would be seen if it were obeyed: an answer, an upload begun, a lamp, an event gone.
    bench.print(trial_capture(30));
    const Said event = bench.hear("EVENT", 2000);
    REQUIRE(event.value("n") == "1");
    const std::string lines[] = {
        signed_line("@PING n=1234567"),
        signed_line("@CUE n=77 show=keep"),
        signed_line("@ACK id=" + event.value("id") + " ep=" + event.value("ep") +
                    " n=1 rec=" + event.value("rec")),
        signed_line("@GREET proto=1 store=00000000000000AA acked=0"),
        signed_line("@PART at=0 of=84 hex=0101080003"),
        signed_line("@ASK what=refused"),
        signed_line("@COMMIT len=84 crc=C9057091"),
    };
    std::mt19937 chance(20260);  // fixed: the same lines each time
    const unsigned count = lines_to_send();
    unsigned sent = 0;
    unsigned errors = 0;
    while (sent < count) {
        const std::string& line = lines[chance() % std::size(lines)];
        const std::string bytes = damaged(line, lines[chance() % std::size(lines)], chance) + "\r\n";
        protocol::LineReader reader;
        if (holds_a_line(reader, bytes)) continue;  // damage behind the line's end, or none at all
        ++sent;
        bench.send(bytes);
        bench.board.run_until([&] { return bench.board.host_port().on_wire() == 0; }, clock_hz);
        bench.pass(2);
        if (sent % 50 != 0) continue;
        bench.pass(300);
        for (const Said& one : bench.take_all()) {
            INFO(one.text);
            const bool harmless = one.kind == "ERROR" || one.kind == "EVENT";
            CHECK(harmless);
            errors += one.kind == "ERROR";
            if (one.kind == "ERROR")
                CHECK((one.value("what") == "malformed" || one.value("what") == "wrong-crc" ||
                       one.value("what") == "too-long"));
        }
        CHECK((bench.board.lamps() & 1) == 0);
        const uint32_t waiting = bench.status("wait");
        CHECK(waiting == 1);
        bench.take_all();
    }
    CHECK(errors > count / 2);
    CHECK(bench.status("clash") == 0);
    CHECK(bench.status("good") < 100 + 3 * count / 50);
    CHECK(bench.board.host_port().overruns() == 0);
    CHECK(bench.board.resets() == 1);
    bench.acknowledge(event);
    bench.pass(100);
    CHECK(bench.status("wait") == 0);
}

}  // namespace pairmark::sim
