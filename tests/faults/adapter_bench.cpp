#include "tests/faults/adapter_bench.hpp"

#include <algorithm>
#include <cstdio>
#include <stdexcept>

#include "protocol/crc32.hpp"
#include "tests/trees.hpp"

namespace pairmark::sim {
std::string Said::value(const char* key) const {
    protocol::Line line;
    protocol::Text value{nullptr, 0};
    if (protocol::parse_line({text.data(), text.size()}, line) != protocol::LineFault::none ||
        !line.get(key, value))
        return "(absent)";
    return {value.data, value.size};
}

std::string signed_line(const std::string& body) {
    const std::string before = body + " ";
    char end[12];
    std::snprintf(end, sizeof end, "*%08X\r\n",
                  static_cast<unsigned>(protocol::crc32(before.data(), before.size())));
    return before + end;
}

std::vector<uint8_t> bytes_from_hex(std::string_view hex) {
    std::vector<uint8_t> bytes;
    for (size_t i = 0; i + 1 < hex.size(); i += 2)
        bytes.push_back(static_cast<uint8_t>(std::stoul(std::string(hex.substr(i, 2)), nullptr, 16)));
    return bytes;
}

AdapterBench::AdapterBench() : board(tests::in_build_tree("firmware/pairmark-adapter.elf")) {
    board.host_port().on_sent = [this](uint8_t byte) {
        if (reader_.take(byte) != protocol::LineReader::Found::line) return;
        const protocol::Text raw = reader_.raw();
        const protocol::Text kind = reader_.line().kind();
        said_.push_back({{raw.data, raw.size}, {kind.data, kind.size}});
    };
    board.power_on();
    if (hear("HELLO", 2000).kind.empty()) throw std::runtime_error("the adapter does not introduce itself");
}

void AdapterBench::send(std::string_view bytes) {
    for (const char byte : bytes)
        board.host_port().feed(static_cast<uint8_t>(byte));
}

void AdapterBench::print(std::string_view capture) {
    for (const char byte : capture)
        board.instrument_port().feed(static_cast<uint8_t>(byte));
}

Said AdapterBench::hear(const std::string& kind, unsigned ms) {
    const auto find = [&] {
        return std::find_if(said_.begin(), said_.end(), [&](const Said& one) { return one.kind == kind; });
    };
    if (!board.run_until([&] { return find() != said_.end(); }, uint64_t{ms} * (clock_hz / 1000))) return {};
    const auto found = find();
    Said heard = *found;
    said_.erase(said_.begin(), found + 1);
    return heard;
}

std::vector<Said> AdapterBench::take_all() {
    std::vector<Said> all;
    all.swap(said_);
    return all;
}

bool AdapterBench::greet() {
    say("@GREET proto=1 store=FEDCBA9876543210 acked=0");
    return !hear("READY", 2000).kind.empty();
}

bool AdapterBench::set_up(const std::vector<uint8_t>& profile) {
    say("@GREET proto=1 store=FEDCBA9876543210 acked=0 give=0123456789ABCDEF");
    return !hear("HELLO", 3000).kind.empty() && greet() && upload(profile);
}

bool AdapterBench::upload(const std::vector<uint8_t>& profile) {
    for (size_t at = 0; at < profile.size(); at += 64) {
        protocol::LineWriter part("PART");
        part.add_count("at", static_cast<uint32_t>(at))
            .add_count("of", static_cast<uint32_t>(profile.size()));
        part.add_hex("hex", profile.data() + at, std::min<size_t>(64, profile.size() - at));
        const protocol::Text text = part.finish();
        send({text.data, text.size});
        if (hear("TOOK", 2000).kind.empty()) return false;
    }
    protocol::LineWriter commit("COMMIT");
    commit.add_count("len", static_cast<uint32_t>(profile.size()));
    commit.add_hex("crc", protocol::crc32(profile.data(), profile.size()));
    const protocol::Text text = commit.finish();
    send({text.data, text.size});
    if (hear("DONE", 2000).kind.empty()) return false;
    pass(20);
    return true;
}

uint32_t AdapterBench::status(const char* key) {
    say("@ASK what=status");
    const std::string value = hear("STATUS", 1000).value(key);
    return value == "(absent)" ? 0xFFFFFFFF : static_cast<uint32_t>(std::stoul(value));
}

void AdapterBench::acknowledge(const Said& event) {
    say("@ACK id=" + event.value("id") + " ep=" + event.value("ep") + " n=" + event.value("n") +
        " rec=" + event.value("rec"));
}

}  // namespace pairmark::sim
