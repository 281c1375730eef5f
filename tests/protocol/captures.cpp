#include <catch2/catch.hpp>

#include "host/learn/profile_json.hpp"
#include "protocol/profile.hpp"
#include "tests/protocol/files.hpp"

using namespace pairmark::protocol;
using namespace pairmark::protocol::testing;

namespace {

Json lens_to_json(const LensFields& lens) {
    Json json;
    json["eye"] = lens.eye == EyeCode::right ? "R" : lens.eye == EyeCode::left ? "L" : "-";
    json["sphere"] = lens.sphere;
    json["cylinder"] = lens.cylinder;
    json["axis"] = lens.axis;
    if (lens.has_addition) json["addition"] = lens.addition;
    if (lens.has_prism) json["prism"] = {lens.horizontal_prism, lens.vertical_prism};
    return json;
}

Json to_json(const Decoded& said) {
    Json json;
    if (said.outcome == Decoded::Outcome::refused) return {{"says", "refused"}};
    if (said.outcome == Decoded::Outcome::no_reading) return {{"says", "no_reading"}};
    json["says"] = "reading";
    for (std::uint8_t i = 0; i < said.lens_count; ++i)
        json["lenses"].push_back(lens_to_json(said.lens[i]));
    if (said.has_centres) json["centres"] = said.centres;
    return json;
}

struct Opened {
    explicit Opened(const Bytes& compact) : bytes(compact) {
        const char* why = "";
        std::size_t at = 0;
        INFO(at << ": " << why);
        REQUIRE(profile.open(bytes.data(), bytes.size(), why, at));
    }
    Bytes bytes;
    Profile profile;
};

}  // namespace

TEST_CASE("Every golden profile's JSON gives its compact bytes") {
    const Json vectors = read_vectors("captures.json");
    REQUIRE(vectors["profiles"].size() >= 10);
    for (const auto& [name, forms] : vectors["profiles"].items()) {
        INFO(name);
        CHECK(to_hex(pairmark::learn::compact_from_json(forms["json"])) == forms["compact"]);
    }
}

TEST_CASE("Every golden capture says what stands beside it") {
    const Json vectors = read_vectors("captures.json");
    REQUIRE(vectors["captures"].size() >= 40);
    for (const Json& row : vectors["captures"]) {
        INFO(row["profile"] << ": " << row["name"]);
        const Opened opened(
            from_hex(vectors["profiles"][row["profile"].get<std::string>()]["compact"].get<std::string>()));
        const Bytes capture = from_hex(row["capture"].get<std::string>());
        const Decoded said = decode(opened.profile, capture.data(), capture.size());
        Json expected = row;
        expected.erase("profile");
        expected.erase("name");
        expected.erase("capture");
        INFO(said.why << " at " << said.at);
        CHECK(to_json(said) == expected);
        CHECK((said.outcome == Decoded::Outcome::refused) == (said.why[0] != 0));
        CHECK(said.at <= capture.size());
    }
}

// Common kinds of damage on a cable: cut, a junk byte put in, another byte in place of one, a byte lost.
TEST_CASE("A capture under a check sum gives no reading once any one byte is changed, lost or put in") {
    const Json vectors = read_vectors("captures.json");
    unsigned tried = 0;
    for (const Json& row : vectors["captures"]) {
        const auto name = row["profile"].get<std::string>();
        if (row["says"] != "reading" || (name != "demo" && name != "columns" && name != "implied")) continue;
        const Opened opened(from_hex(vectors["profiles"][name]["compact"].get<std::string>()));
        const Bytes good = from_hex(row["capture"].get<std::string>());
        const auto refused = [&](const Bytes& damaged) {
            ++tried;
            return decode(opened.profile, damaged.data(), damaged.size()).outcome ==
                   Decoded::Outcome::refused;
        };
        for (std::size_t at = 0; at < good.size(); ++at) {
            INFO(name << " " << row["name"] << " byte " << at);
            Bytes lost = good;
            lost.erase(lost.begin() + static_cast<std::ptrdiff_t>(at));
            CHECK(refused(lost));
            CHECK(refused(Bytes(good.begin(), good.begin() + static_cast<std::ptrdiff_t>(at))));
            for (int value = 0; value < 256; value += 5) {
                Bytes put_in = good;
                put_in.insert(put_in.begin() + static_cast<std::ptrdiff_t>(at),
                              static_cast<std::uint8_t>(value));
                CHECK(refused(put_in));
                Bytes other = good;
                other[at] = static_cast<std::uint8_t>(value);
                if (other != good) CHECK(refused(other));
            }
        }
    }
    CHECK(tried > 10000);
}

TEST_CASE("A refusal tells the byte where the best fitting shape failed") {
    const Opened opened(pairmark::learn::compact_profile(read_file("demo/instrument.profile.json")));
    struct Row {
        const char* capture;
        std::size_t at;
        const char* why;
    };
    const std::vector<Row> rows{
        {"X= -01.25 & +00.50 @ 085 ~31\r\n", 0, "no known word"},
        {"R: -01.25 & +00.50 @ 085 ~31\r\n", 1, "other text expected"},
        {"R= -01,25 & +00.50 @ 085 ~31\r\n", 3, "no such number"},
        {"R= -01.25 & +00.50 @ 195 ~31\r\n", 21, "no such number"},
        {"R= -01.25 & +00.50 @ 085 ~30\r\n", 26, "check sum wrong"},
        {"R= -01.25 & +00.50 @ 085 ~31\r\n\n", 30, "bytes left over"},
        {"R= -01.25 & +0", 12, "no such number"},
    };
    for (const Row& row : rows) {
        INFO(row.capture);
        const std::string text = row.capture;
        const Decoded said =
            decode(opened.profile, reinterpret_cast<const std::uint8_t*>(text.data()), text.size());
        CHECK(said.outcome == Decoded::Outcome::refused);
        CHECK(said.at == row.at);
        CHECK(said.why == std::string(row.why));
    }
    CHECK(decode(opened.profile, nullptr, 0).outcome == Decoded::Outcome::refused);
    const Bytes huge(max_capture + 1, 'R');
    CHECK(decode(opened.profile, huge.data(), huge.size()).why == std::string("capture too long"));
    CHECK(decode(Profile(), huge.data(), 1).why == std::string("no profile"));
}
