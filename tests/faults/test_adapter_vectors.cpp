// The golden vectors of the protocol, by way of the real image on the simulated chip.
#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>

#include "protocol/event_record.hpp"
#include "protocol/profile.hpp"
#include "tests/faults/adapter_bench.hpp"
#include "tests/faults/trial_instrument.hpp"
#include "tests/trees.hpp"

namespace pairmark::sim {
namespace {

using nlohmann::json;

json read_vectors(const char* name) {
    std::ifstream file(pairmark::tests::in_source_tree("protocol/vectors/" + std::string(name)));
    REQUIRE(file);
    return json::parse(file);
}

/// Characters up to U+00FF stand for one byte each.
std::string latin1(const std::string& utf8) {
    std::string bytes;
    for (size_t i = 0; i < utf8.size(); ++i) {
        const auto c = static_cast<unsigned char>(utf8[i]);
        if (c < 0x80) {
            bytes += utf8[i];
        } else {
            bytes += static_cast<char>(((c & 3) << 6) | (utf8[++i] & 0x3F));
        }
    }
    return bytes;
}

/// The profile's framing finds the end of this capture where the vector has it.
bool is_one_capture(const std::vector<uint8_t>& compact, const std::vector<uint8_t>& capture) {
    protocol::Profile profile;
    const char* why = "";
    size_t at = 0;
    REQUIRE(profile.open(compact.data(), compact.size(), why, at));
    const protocol::Framing framing = profile.framing();
    if (framing.by != protocol::FrameBy::terminator) return true;
    const auto end = std::search(capture.begin(), capture.end(), framing.terminator,
                                 framing.terminator + framing.terminator_size);
    return end == capture.end() || end + framing.terminator_size == capture.end();
}

json as_vector(const Said& said) {
    protocol::Line line;
    protocol::EventLine event;
    const char* fault = "";
    REQUIRE(protocol::parse_line({said.text.data(), said.text.size()}, line) == protocol::LineFault::none);
    INFO(said.text);
    REQUIRE(protocol::read_event(line, event, fault));
    json read{{"says", "reading"}};
    for (uint8_t i = 0; i < event.event.lens_count; ++i) {
        const protocol::LensFields& lens = event.event.lens[i];
        json one{{"eye", lens.eye == protocol::EyeCode::right  ? "R"
                         : lens.eye == protocol::EyeCode::left ? "L"
                                                               : "-"},
                 {"sphere", lens.sphere},
                 {"cylinder", lens.cylinder},
                 {"axis", lens.axis}};
        if (lens.has_addition) one["addition"] = lens.addition;
        if (lens.has_prism) one["prism"] = {lens.horizontal_prism, lens.vertical_prism};
        read["lenses"].push_back(one);
    }
    if (event.event.has_centres) read["centres"] = event.event.centres;
    return read;
}

}  // namespace

TEST_CASE("every golden capture comes out of the chip's port as its reading, or is refused") {
    const json vectors = read_vectors("captures.json");
    size_t readings = 0;
    size_t refusals = 0;
    size_t silent = 0;
    size_t cut_elsewhere = 0;
    for (const auto& [name, profile] : vectors["profiles"].items()) {
        INFO(name);
        const std::vector<uint8_t> compact = bytes_from_hex(profile["compact"].get<std::string>());
        AdapterBench bench;
        REQUIRE(bench.set_up(compact));
        for (const json& row : vectors["captures"]) {
            if (row["profile"] != name) continue;
            INFO(row["name"]);
            const std::vector<uint8_t> capture = bytes_from_hex(row["capture"].get<std::string>());
            if (!is_one_capture(compact, capture)) {
                ++cut_elsewhere;  // "a byte too many" is one good capture and a stray byte
                continue;
            }
            bench.take_all();
            bench.print({reinterpret_cast<const char*>(capture.data()), capture.size()});
            json expected = row;
            for (const char* key : {"profile", "name", "capture"})
                expected.erase(key);
            if (row["says"] == "reading") {
                const Said event = bench.hear("EVENT", 3000);
                REQUIRE(event.kind == "EVENT");
                CHECK(as_vector(event) == expected);
                bench.acknowledge(event);
                ++readings;
            } else if (row["says"] == "refused") {
                CHECK(bench.hear("REFUSED", 3000).kind == "REFUSED");
                ++refusals;
            } else {
                CHECK(bench.hear("SHOWN", 3000).kind == "SHOWN");
                ++silent;
            }
            bench.pass(1500);
            if (row["says"] != "reading")
                for (const Said& one : bench.take_all())
                    CHECK(one.kind != "EVENT");
            CHECK(bench.status("wait") == 0);
        }
        CHECK(bench.board.instrument_port().overruns() == 0);
    }
    CHECK(readings + refusals + silent + cut_elsewhere == vectors["captures"].size());
    CHECK(readings >= 25);
    CHECK(refusals >= 25);
    CHECK(silent >= 1);
    CHECK(cut_elsewhere <= 1);
}

TEST_CASE("every good golden line is taken by the chip and answered as its kind is") {
    const json vectors = read_vectors("lines.json");
    // The kinds that a host sends. Any other, however right, is answered with ERROR what=unknown.
    const std::map<std::string, std::string> answers = {
        {"GREET", "READY"}, {"PING", "PONG"}, {"CUE", "CUED"}, {"ASK", "STATUS"},
        {"PART", "TOOK"},   {"ACK", ""},      {"ERROR", ""},   {"COMMIT", "ERROR"}};
    AdapterBench bench;
    REQUIRE(bench.set_up(trial_profile()));
    for (const json& row : vectors["good"]) {
        const auto line = row["line"].get<std::string>();
        INFO(line);
        const uint32_t good = bench.status("good");
        const uint32_t clashes = bench.status("clash");
        bench.take_all();
        bench.send(line + "\r\n");
        bench.pass(700);
        std::vector<Said> said = bench.take_all();
        const auto known = answers.find(row["kind"].get<std::string>());
        if (known == answers.end()) {
            REQUIRE(said.size() == 1);
            CHECK(said[0].value("what") == "unknown");
            CHECK(said[0].value("kind") == row["kind"].get<std::string>());
        } else if (known->second.empty()) {
            CHECK(said.empty());
        } else {
            REQUIRE(said.size() == 1);
            const bool answerable = row["fields"].contains("n") || row["kind"] != "PING";
            CHECK(said[0].kind == (answerable ? known->second : "ERROR"));
            // The example's COMMIT names a profile of which only the first piece was sent.
            if (row["kind"] == "COMMIT") CHECK(said[0].value("what") == "profile");
        }
        CHECK(bench.status("good") == good + 3);  // the line, and two questions for STATUS
        CHECK(bench.status("clash") == clashes + (row["kind"] == "ACK" ? 1 : 0));
        CHECK(bench.status("bad") == 0);
    }
    CHECK(vectors["good"].size() >= 20);
}

TEST_CASE("every damaged golden line is counted by the chip, answered with its fault, and never obeyed") {
    const json vectors = read_vectors("lines.json");
    AdapterBench bench;
    REQUIRE(bench.set_up(trial_profile()));
    for (const json& row : vectors["damaged"]) {
        const auto name = row["name"].get<std::string>();
        const auto fault = row["fault"].get<std::string>();
        INFO(name);
        const uint32_t bad = bench.status("bad");
        const uint32_t good = bench.status("good");
        bench.take_all();
        bench.send(latin1(row["line"].get<std::string>()) + "\r\n");
        bench.pass(100);
        const std::vector<Said> said = bench.take_all();
        REQUIRE(!said.empty());
        for (const Said& one : said)
            CHECK(one.kind == "ERROR");
        CHECK(said[0].value("what") == (fault == "wrong_crc"  ? "wrong-crc"
                                        : fault == "too_long" ? "too-long"
                                                              : "malformed"));
        CHECK(bench.status("bad") == bad + said.size());
        CHECK(bench.status("good") == good + 2);  // two questions for STATUS and nothing else
    }
    CHECK(vectors["damaged"].size() >= 20);
}

}  // namespace pairmark::sim
