// Captures in, what the screen showed out.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "host/learn/base64.hpp"
#include "tests/cli/program.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using Json = nlohmann::json;

namespace {

std::string line_of(const std::string& capture) {
    return Json{{"capture", learn::base64(std::vector<std::uint8_t>(capture.begin(), capture.end()))}}
               .dump() +
           "\n";
}

/// A profile of lines with these items, which end with CR.
std::string profile_of(const std::string& step, const std::string& items) {
    return R"({"profile": 1, "serial": {"baud": 9600, "data_bits": 8, "parity": "none", "stop_bits": 1},
        "frame": {"by": "terminator", "terminator": "\r", "silence_ms": 200}, "axis_0_means_180": true, "step": ")" +
           step + R"(", "shapes": [{"says": "reading", "items": [)" + items +
           R"(, "\r"]}, {"says": "no_reading", "items": ["CLEAN\r"]}]})";
}

std::string number(const std::string& quantity, int decimals, const std::string& more = {}) {
    return R"({"number": ")" + quantity + R"(", "width": [1, 8], "decimals": )" + std::to_string(decimals) +
           (decimals > 0 ? R"(, "point": ".")" : "") + more + "}";
}

const std::string signed_number = R"(, "sign": "minus")";

/// One lens with its powers in `decimals` places.
std::string lens(int decimals) {
    return R"({"word": "eye", "right": "R", "left": "L", "unnamed": ""}, )" +
           number("sphere", decimals, signed_number) + R"(, " ", )" +
           number("cylinder", decimals, signed_number) + R"(, " ", )" + number("axis", 0);
}

Run decoded(const std::string& profile, const std::string& input) {
    const FreshFolder folder;
    write_file(folder / "profile.json", profile);
    return call({"decode", "--profile", (folder / "profile.json").string()}, input);
}

/// The one answer to one capture.
Json answer(const std::string& profile, const std::string& capture) {
    const Run run = decoded(profile, line_of(capture));
    CHECK(run.err.empty());
    REQUIRE(run.status == 0);
    return Json::parse(run.out);
}

Json readings(const std::string& list) {
    return {{"readings", Json::parse(list)}};
}

}  // namespace

TEST_CASE("A capture is answered with what the screen showed") {
    const std::string profile = profile_of("hundredth", lens(2));
    CHECK(answer(profile, "R-1.25 -0.50 85\r") ==
          readings(R"([{"eye": "right", "sphere": -1.25, "cylinder": -0.5, "axis": 85}])"));
    CHECK(answer(profile, "L0.07 2.33 7\r") ==
          readings(R"([{"eye": "left", "sphere": 0.07, "cylinder": 2.33, "axis": 7}])"));
    CHECK(answer(profile, "3.00 0.00 85\r") ==
          readings(R"([{"eye": null, "sphere": 3.0, "cylinder": 0.0, "axis": 0}])"));
    CHECK(answer(profile, "R3.00 0.50 0\r") ==
          readings(R"([{"eye": "right", "sphere": 3.0, "cylinder": 0.5, "axis": 180}])"));
}

TEST_CASE("An eighth that the instrument cut stays cut, and a whole one stays whole") {
    CHECK(answer(profile_of("eighth", lens(2)), "R-1.12 -0.62 85\r") ==
          readings(R"([{"eye": "right", "sphere": -1.12, "cylinder": -0.62, "axis": 85}])"));
    CHECK(answer(profile_of("eighth", lens(3)), "R-1.125 -0.625 85\r") ==
          readings(R"([{"eye": "right", "sphere": -1.125, "cylinder": -0.625, "axis": 85}])"));
    CHECK(answer(profile_of("eighth", lens(3)), "R0.375 0.750 85\r") ==
          readings(R"([{"eye": "right", "sphere": 0.375, "cylinder": 0.75, "axis": 85}])"));
}

TEST_CASE("Both lenses come right before left, with what else the capture says") {
    const std::string two =
        R"("L", {"number": "sphere", "lens": 1, "width": 4, "decimals": 2, "point": "."}, )"
        R"({"number": "addition", "width": 4, "decimals": 2, "point": "."}, )"
        R"({"number": "horizontal_prism", "width": 4, "decimals": 2, "point": "."}, )"
        R"({"word": "horizontal_prism", "in": "I", "out": "O"}, )"
        R"({"number": "vertical_prism", "width": 4, "decimals": 2, "point": "."}, )"
        R"({"word": "vertical_prism", "up": "U", "down": "D"}, )"
        R"({"word": "eye", "left": "<"}, {"word": "eye", "lens": 2, "right": ">"}, )"
        R"("R", {"number": "sphere", "lens": 2, "width": 4, "decimals": 2, "point": "."}, )"
        R"("PD", {"number": "centres", "width": 4, "decimals": 1, "point": "."})";
    CHECK(answer(profile_of("hundredth", two), "L1.002.000.50O0.00U<>R2.25PD62.0\r") ==
          readings(R"([{"eye": "right", "sphere": 2.25, "cylinder": 0.0, "axis": 0, "centres": 62.0},
                       {"eye": "left", "sphere": 1.0, "cylinder": 0.0, "axis": 0, "add": 2.0, "prism":
                        {"horizontal": 0.5, "horizontal_base": "out", "vertical": 0.0, "vertical_base": null}, "centres": 62.0}])"));
}

TEST_CASE("No reading is an empty list, and a refusal says why and where") {
    const std::string profile = profile_of("hundredth", lens(2));
    CHECK(answer(profile, "CLEAN\r") == readings("[]"));
    CHECK(answer(profile, "R-1.25 -0.50 85") == Json{{"refused", "other text expected (at byte 15 of 15)"}});
    CHECK(answer(profile, "") == Json{{"refused", "empty capture (at byte 0 of 0)"}});
    CHECK(answer(profile, std::string(300, 'R')) ==
          Json{{"refused", "capture too long (at byte 256 of 300)"}});
}

TEST_CASE("A wrong line ends the answers, named by its number") {
    const std::string good = line_of("CLEAN\r");
    for (const std::string bad :
         {"{", "[]", "{\"capture\": 3}", "{}", "{\"capture\": \"Zg\"}", "{\"capture\": \"Zg==\\n\"}"}) {
        CAPTURE(bad);
        const Run run = decoded(profile_of("hundredth", lens(2)), good + "\n" + bad + "\n" + good);
        CHECK(run.status == 2);
        CHECK(run.out == "{\"readings\":[]}\n");
        CHECK_THAT(run.err, Catch::Contains("line 3: "));
    }
}

TEST_CASE("A profile that is none is refused with its place") {
    const Run run = decoded("{\"profile\": 1}", line_of("CLEAN\r"));
    CHECK(run.status == 2);
    CHECK_THAT(run.err, Catch::Contains("profile.json: "));
    CHECK(call({"decode", "--profile", "/nowhere/p.json"}).status == 1);
}
