#include "host/learn/profile_json.hpp"

#include <catch2/catch.hpp>
#include <fstream>

#include "protocol/profile.hpp"
#include "tests/trees.hpp"

using namespace pairmark;
using namespace pairmark::learn;
using Json = nlohmann::ordered_json;

namespace {

Json read_json(const std::string& path) {
    std::ifstream file(pairmark::tests::in_source_tree(path));
    return Json::parse(file);
}

// A good profile with one shape of these items.
Json profile_with(const std::string& items) {
    Json json = Json::parse(
        R"({"profile": 1, "serial": {"baud": 9600, "data_bits": 8, "parity": "none", "stop_bits": 1},
        "frame": {"by": "silence", "silence_ms": 200}, "step": "quarter", "shapes": [{"says": "reading", "items": []}]})");
    json["shapes"][0]["items"] = Json::parse(items);
    return json;
}

const std::string sphere = R"({"number": "sphere", "width": 5, "decimals": 2, "point": "."})";

std::string complaint_about(const Json& json) {
    try {
        compact_from_json(json);
    } catch (const BadProfile& bad) {
        return bad.what();
    }
    return "accepted";
}

protocol::Decoded decode(const std::vector<std::uint8_t>& compact, const std::string& capture) {
    protocol::Profile profile;
    const char* why = "";
    std::size_t at = 0;
    REQUIRE(profile.open(compact.data(), compact.size(), why, at));
    return protocol::decode(profile, reinterpret_cast<const std::uint8_t*>(capture.data()), capture.size());
}

}  // namespace

TEST_CASE("A profile's JSON made from its bytes gives the same bytes again") {
    const Json vectors = read_json("protocol/vectors/captures.json");
    unsigned tried = 0;
    for (const auto& [name, forms] : vectors["profiles"].items()) {
        INFO(name);
        const auto compact = compact_from_json(forms["json"]);
        const Json again = profile_to_json(compact);
        // Nested ways come back as two by two; the bytes are the same.
        CHECK(compact_from_json(again) == compact);
        ++tried;
    }
    CHECK(tried >= 10);
}

TEST_CASE("A profile with every member comes back in words") {
    Json json = read_json("demo/instrument.profile.json");
    json.erase("name");
    CHECK(profile_to_json(compact_from_json(json)) == json);
}

TEST_CASE("A mistake in a profile is told with its place and what was expected") {
    struct Row {
        const char* pointer;  // where the mistake is put
        const char* value;    // JSON; empty: the member is taken away
        const char* complaint;
    };
    const std::vector<Row> rows{
        {"/profile", "2", "profile: expected a whole number from 1 to 1, found 2"},
        {"/serial", "", "member \"serial\" is missing"},
        {"/serial/baud", "9601", "serial.baud: expected a multiple of 1200, found 9601"},
        {"/serial/baud", "-9600", "serial.baud: expected a whole number from 1200 to 115200, found -9600"},
        {"/serial/baud", "9600.0", "serial.baud: expected a whole number from 1200 to 115200, found 9600.0"},
        {"/serial/parity", "\"N\"",
         "serial.parity: expected one of \"none\", \"even\", \"odd\", found \"N\""},
        {"/serial/speed", "1",
         "serial: unknown member \"speed\"; known here: baud, data_bits, parity, stop_bits"},
        {"/frame/by", "\"time\"", "frame.by: expected one of \"silence\", \"terminator\", \"length\""},
        {"/frame/terminator", "\"\\r\"", "frame.terminator: only with \"by\": \"terminator\""},
        {"/frame/silence_ms", "1", "frame.silence_ms: expected a whole number from 2 to 10000"},
        {"/frame/start", "\"ab\"", "frame.start: expected a string of 1 to 1 characters"},
        {"/step", "\"third\"", "step: expected one of \"quarter\", \"eighth\", \"hundredth\""},
        {"/axis_0_means_180", "1", "axis_0_means_180: expected true or false, found 1"},
        {"/shapes", "[]", "shapes: expected 1 to 32 shapes"},
        {"/shapes", "{}", "shapes: expected a list"},
        {"/shapes/0/says", "\"maybe\"", "shapes[0].says: expected one of \"reading\", \"no_reading\""},
        {"/shapes/0/says", "\"no_reading\"",
         "shapes[0]: the adapter would refuse it: item not allowed in a shape without"},
        {"/shapes/0/items", "[]", "shapes[0]: the adapter would refuse it: shape"},
        {"/shapes/0/items", "[\"x\"]", "shape without a sphere"},
        {"/shapes/0/items/1", "7", "shapes[0].items[1]: expected text, or an object with word"},
        {"/shapes/0/items/1", "\"\"", "shapes[0].items[1]: expected a string of 1 to 255 characters"},
        {"/shapes/0/items/1", "\"\\u0100\"", "shapes[0].items[1]: expected a string of 1 to 255 characters"},
        {"/shapes/0/items/0/width", "33", "shapes[0].items[0].width: expected a whole number from 1 to 32"},
        {"/shapes/0/items/0/width", "[5, 4]",
         "shapes[0].items[0].width[1]: expected a whole number from 5 to 32"},
        {"/shapes/0/items/0/width", "[5]", "shapes[0].items[0].width: expected a number, or [least, most]"},
        {"/shapes/0/items/0/point", "\";\"", "shapes[0].items[0].point: expected one of"},
        {"/shapes/0/items/0/decimals", "0",
         "shapes[0].items[0].point: a number without decimals has no point"},
        {"/shapes/0/items/0/lens", "3", "shapes[0].items[0].lens: expected a whole number from 1 to 2"},
        {"/shapes/0/items/0/number", "\"power\"", "shapes[0].items[0].number: expected one of \"sphere\""},
        {"/shapes/0/items/1", R"({"number": "centres", "lens": 1, "width": 4})", "belongs to no lens"},
        {"/shapes/0/items/1", R"({"word": "eye"})", "shapes[0].items[1]: expected 1 to 255 words"},
        {"/shapes/0/items/1", R"({"word": "eye", "in": "x"})", "shapes[0].items[1]: unknown member \"in\""},
        {"/shapes/0/items/1", R"({"changing": "digits", "length": 0})", "expected a length above 0"},
        {"/shapes/0/items/1", R"({"check_sum": "md5", "written": "raw"})",
         "items[1].check_sum: expected crc, sum"},
        {"/shapes/0/items/1", R"({"check_sum": "xor", "written": "raw", "low_first": true})",
         "only two bytes have an order"},
        {"/shapes/0/items/1", R"({"check_sum": "crc", "bits": 12, "polynomial": "7", "written": "raw"})",
         "expected 8 or 16"},
        {"/shapes/0/items/1", R"({"check_sum": "crc", "bits": 8, "polynomial": "x7", "written": "raw"})",
         "1 to 4 hex digits"},
        {"/shapes/0/items/1", R"({"one_of": [["a"]]})", "items[1].one_of: expected 2 to 9 lists of items"},
        {"/shapes/0/items/1", R"({"one_of": [[], []]})", "items[1].one_of: all ways are empty"},
        {"/shapes/0/items/1", R"({"optional": []})", "items[1].optional: no items"},
        {"/shapes/0/items/1", R"({"optional": ["a", 5]})", "shapes[0].items[1].optional[1]: expected text"},
        {"/shapes/0/items/1", R"({"check_sum_from": "there"})",
         "items[1].check_sum_from: expected one of \"here\""},
    };
    for (const Row& row : rows) {
        INFO(row.pointer << " " << row.value);
        Json json = profile_with("[" + sphere + ", \"\\r\"]");
        REQUIRE(complaint_about(json) == "accepted");
        const Json::json_pointer pointer(row.pointer);
        if (*row.value == 0)
            json.erase(pointer.back());
        else
            json[pointer] = Json::parse(row.value);
        CHECK_THAT(complaint_about(json), Catch::Contains(row.complaint));
    }
}

TEST_CASE("Text that is no JSON is refused with its place") {
    CHECK_THROWS_AS(compact_profile("{\"profile\": 1,"), BadProfile);
    CHECK_THROWS_WITH(compact_profile("{\n \"profile\": x}"), Catch::Contains("line 2"));
    CHECK_THROWS_WITH(compact_profile("[]"), Catch::Contains("expected an object"));
    CHECK_THROWS_AS(compact_profile(""), BadProfile);
    CHECK_THROWS_AS(compact_profile("{\"profile\": \"\xff\"}"), BadProfile);
}

TEST_CASE("A profile that does not fit the adapter is refused") {
    const std::string hundred(100, 'x');
    std::string items = "[" + sphere;
    for (int i = 0; i < 8; ++i)
        items += ", \"" + hundred + "\"";
    CHECK_THAT(complaint_about(profile_with(items + "]")), Catch::Contains("too long for a profile"));
    std::string parts = "[" + sphere;
    for (int i = 0; i < 64; ++i)
        parts += R"(, {"changing": "any", "length": 1})";
    CHECK_THAT(complaint_about(profile_with(parts + "]")), Catch::Contains("too many parts"));
    std::string deep = "[" + sphere;
    for (int i = 0; i < 9; ++i)
        deep += R"(, {"optional": ["a")";
    for (int i = 0; i < 9; ++i)
        deep += "]}";
    CHECK_THAT(complaint_about(profile_with(deep + "]")), Catch::Contains("branch"));
    std::string endless = "[" + sphere;
    for (int i = 0; i < 5000; ++i)
        endless += R"(, {"optional": ["a")";
    for (int i = 0; i < 5000; ++i)
        endless += "]}";
    CHECK_THAT(complaint_about(profile_with(endless + "]")), Catch::Contains("nested too deeply"));
}

TEST_CASE("Bytes that are no profile have no JSON") {
    auto compact = compact_from_json(profile_with("[" + sphere + "]"));
    compact.push_back(0);
    CHECK_THROWS_WITH(profile_to_json(compact), Catch::Contains("bytes behind the last shape"));
    CHECK_THROWS_AS(profile_to_json({}), BadProfile);
}

// Check values over "123456789": catalogue of CRC algorithms; sum, XOR and their like counted by hand (DD,
// 31).
TEST_CASE("Every named check sum has its check value (catalogue of CRC algorithms)") {
    struct Row {
        const char* name;
        const char* written;
        std::string bytes;
    };
    const std::vector<Row> rows{{"sum", "hex_upper", "DD"},
                                {"sum", "hex_lower", "dd"},
                                {"sum", "decimal", "221"},
                                {"sum", "raw", "\xDD"},
                                {"sum", "half_bytes", "=="},
                                {"sum7", "hex_upper", "5D"},
                                {"sum16", "hex_upper", "01DD"},
                                {"sum16", "decimal", "00477"},
                                {"xor", "hex_upper", "31"},
                                {"negated_sum", "hex_upper", "23"},
                                {"CRC-8/SMBUS", "hex_upper", "F4"},
                                {"CRC-8/MAXIM-DOW", "hex_upper", "A1"},
                                {"CRC-16/ARC", "hex_upper", "BB3D"},
                                {"CRC-16/MODBUS", "hex_lower", "4b37"},
                                {"CRC-16/USB", "hex_upper", "B4C8"},
                                {"CRC-16/XMODEM", "raw", "\x31\xC3"},
                                {"CRC-16/IBM-3740", "decimal", "10673"},
                                {"CRC-16/SPI-FUJITSU", "hex_upper", "E5CC"},
                                {"CRC-16/GENIBUS", "hex_upper", "D64E"},
                                {"CRC-16/KERMIT", "half_bytes", "2189"},
                                {"CRC-16/MCRF4XX", "hex_upper", "6F91"},
                                {"CRC-16/IBM-SDLC", "hex_upper", "906E"}};
    for (const Row& row : rows) {
        INFO(row.name << " as " << row.written);
        // The digits are a changing part, so that they may be damaged without another complaint.
        const Json json = profile_with(
            std::string(
                R"([{"number": "sphere", "width": 5, "decimals": 2, "point": "."}, {"check_sum_from": "here"},
                {"changing": "digits", "length": 9}, {"check_sum": ")") +
            row.name + R"(", "written": ")" + row.written + "\"}]");
        const auto compact = compact_from_json(json);
        const std::string capture = "11.25123456789" + row.bytes;
        CHECK(decode(compact, capture).outcome == protocol::Decoded::Outcome::reading);
        CHECK(decode(compact, "11.25123456788" + row.bytes).outcome == protocol::Decoded::Outcome::refused);
        if (row.bytes.size() == 4) {
            Json swapped = json;
            swapped["shapes"][0]["items"][3]["low_first"] = true;
            const std::string low_first = row.bytes.substr(2) + row.bytes.substr(0, 2);
            CHECK(decode(compact_from_json(swapped), "11.25123456789" + low_first).outcome ==
                  protocol::Decoded::Outcome::reading);
        }
    }
}

TEST_CASE("The demonstration's profile reads its captures") {
    const auto compact = compact_from_json(read_json("demo/instrument.profile.json"));
    CHECK(compact.size() == 84);
    const auto said = decode(compact, "R= -01.25 & +00.50 @ 085 ~31\r\n");
    REQUIRE(said.outcome == protocol::Decoded::Outcome::reading);
    CHECK(said.lens_count == 1);
    CHECK(said.lens[0].eye == protocol::EyeCode::right);
    CHECK(said.lens[0].sphere == -125);
    CHECK(said.lens[0].cylinder == 50);
    CHECK(said.lens[0].axis == 85);
}
