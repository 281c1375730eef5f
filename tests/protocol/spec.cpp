#include <catch2/catch.hpp>
#include <set>

#include "host/learn/profile_json.hpp"
#include "protocol/event_record.hpp"
#include "protocol/profile.hpp"
#include "tests/protocol/files.hpp"

using namespace pairmark::protocol;
using namespace pairmark::protocol::testing;

namespace {

std::vector<std::string> spec_lines() {
    std::istringstream text(read_file("protocol/SPEC.md"));
    std::vector<std::string> lines;
    for (std::string line; std::getline(text, line);)
        lines.push_back(line);
    return lines;
}

// The kinds of the message table, and the keys that its row names.
std::map<std::string, std::set<std::string>> message_table() {
    std::map<std::string, std::set<std::string>> table;
    for (const std::string& line : spec_lines()) {
        if (line.rfind("| `", 0) != 0) continue;
        const std::size_t end = line.find('`', 3);
        std::set<std::string>& keys = table[line.substr(3, end - 3)];
        for (std::size_t at = line.find('`', end + 1); at != std::string::npos; at = line.find('`', at + 1)) {
            const std::size_t close = line.find('`', at + 1);
            keys.insert(line.substr(at + 1, close - at - 1));
            at = close;
        }
    }
    return table;
}

// The keys of a line without CR LF whose form is right.
std::vector<std::string> keys_of(const std::string& line) {
    std::vector<std::string> keys;
    std::istringstream words(line.substr(0, line.find(" *")));
    std::string word;
    words >> word;
    while (words >> word)
        keys.push_back(word.substr(0, word.find('=')));
    return keys;
}

}  // namespace

TEST_CASE(
    "Every example in SPEC.md is a line with the right CRC, of a kind and with keys that its table has") {
    const auto table = message_table();
    REQUIRE(table.size() == 18);
    std::set<std::string> shown;
    for (const std::string& bytes : spec_lines()) {
        if (bytes.rfind('@', 0) != 0) continue;
        INFO(bytes);
        Line line;
        REQUIRE(word_of(parse_line(text_of(bytes), line)) == "none");
        const std::string kind = string_of(line.kind());
        REQUIRE(table.count(kind) == 1);
        shown.insert(kind);
        for (std::string key : keys_of(bytes)) {
            // The second lens of an EVENT: "with `2` behind each key".
            if (kind == "EVENT" && key.back() == '2') key.pop_back();
            const std::set<std::string>& known = table.at(kind);
            const bool is_known =
                known.count(key) != 0 || known.count(key + "=1") != 0 || kind == "TOOK" || kind == "DONE";
            CHECK(is_known);
        }
        if (kind == "EVENT") {
            EventLine event;
            const char* fault = "";
            CHECK(read_event(line, event, fault));
        }
    }
    for (const auto& [kind, keys] : table) {
        INFO(kind);
        CHECK(shown.count(kind) == 1);
    }
}

TEST_CASE("The worked profile in SPEC.md is the demonstration's, byte for byte") {
    std::string hex;
    bool inside = false;
    for (const std::string& line : spec_lines()) {
        if (line == "```") inside = false;
        if (inside) hex += line.substr(0, 53);
        if (line == "```profile") inside = true;
    }
    const Bytes written = from_hex(hex);
    CHECK(to_hex(written) ==
          to_hex(pairmark::learn::compact_profile(read_file("demo/instrument.profile.json"))));
    Profile profile;
    const char* why = "";
    std::size_t at = 0;
    REQUIRE(profile.open(written.data(), written.size(), why, at));
    const std::string capture = "R= -01.25 & +00.50 @ 085 ~31\r\n";
    const Decoded said =
        decode(profile, reinterpret_cast<const std::uint8_t*>(capture.data()), capture.size());
    CHECK(said.outcome == Decoded::Outcome::reading);
    CHECK(said.lens[0].sphere == -125);
    CHECK(said.lens[0].cylinder == 50);
    CHECK(said.lens[0].axis == 85);
}
