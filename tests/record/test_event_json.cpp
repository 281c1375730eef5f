#include <catch2/catch.hpp>

#include "host/record/json.hpp"
#include "host/record/words.hpp"
#include "tests/record/random_events.hpp"

using namespace pairmark;
using nlohmann::json;

namespace {

constexpr const char* sound_event = R"({"seq":7,"at":"2026-11-24T22:50:00.123Z","kind":"reading","body":{
    "id":{"adapter":"0123456789ABCDEF","epoch":1,"number":5,"record_crc":3405691582},
    "reading":{"lenses":[{"eye":"right","sphere":-1.25,"cylinder":-0.5,"axis":85,"addition":2,
                          "prism":{"in":0.5,"up":-0.25}},
                         {"eye":"left","sphere":2,"cylinder":0}],
               "centres":62.5,"step":0.125,"source":"instrument"},
    "age_ms":1200,"first_after_reset":false,"late":true}})";

/// What is said of the sound event after one change by JSON Patch.
std::string complaint_after(const std::string& patch) {
    const json changed = json::parse(sound_event).patch(json::array({json::parse(patch)}));
    try {
        record::event_from_json(changed);
    } catch (const record::BadRecord& fault) {
        return fault.what();
    }
    return "taken";
}

record::Event event_with(record::EventBody body) {
    return {1, "2026-11-24T22:50:00.123Z", std::move(body)};
}

std::string complaint_about(const std::string& kind, const std::string& body) {
    try {
        record::body_from_json(kind, json::parse(body));
    } catch (const record::BadRecord& fault) {
        return fault.what();
    }
    return "taken";
}

}  // namespace

TEST_CASE("Every kind of event is the same after writing and reading") {
    tests::RandomEvents random(20261124);
    for (std::size_t kind = 0; kind < tests::RandomEvents::kinds; ++kind) {
        for (int i = 0; i < 500; ++i) {
            record::Event event = random.make(kind);
            event.sequence = i + 1;
            const std::string text = record::to_json(event).dump();
            INFO(text);
            REQUIRE(tests::same(event, record::event_from_json(json::parse(text))));
        }
    }
}

TEST_CASE("An event's kind is a word, and each kind has its own") {
    const std::vector<std::pair<record::EventBody, std::string>> rows{
        {record::Started{}, "started"},   {record::TextInForce{}, "text"},
        {record::Greeted{}, "greeted"},   {record::ReadingTaken{}, "reading"},
        {record::KeyPressed{}, "key"},    {record::Acted{}, "act"},
        {record::TimedOut{}, "time-out"}, {record::Numbered{}, "numbered"},
        {record::Printed{}, "printed"},   {record::Noted{"clock", ""}, "note"},
    };
    for (const auto& [body, kind] : rows) {
        CHECK(record::kind_of(event_with(body)) == kind);
    }
}

TEST_CASE("A sound event is read with every field") {
    const record::Event event = record::event_from_json(json::parse(sound_event));
    CHECK(event.sequence == 7);
    const auto& taken = std::get<record::ReadingTaken>(event.body);
    REQUIRE(taken.id);
    CHECK(taken.id->record_crc == 0xCAFEBABE);
    CHECK(taken.age_ms == 1200U);
    CHECK(taken.late);
    REQUIRE(taken.reading.lenses.size() == 2);
    const record::LensReading& right = taken.reading.lenses[0];
    CHECK(right.eye == record::Eye::right);
    CHECK(right.power ==
          optics::Power{optics::Dioptre::hundredths(-125), optics::Dioptre::hundredths(-50), 85});
    CHECK(right.addition == optics::Dioptre::hundredths(200));
    CHECK(right.prism == record::Prism{optics::Dioptre::hundredths(50), optics::Dioptre::hundredths(-25)});
    CHECK(taken.reading.lenses[1].power.axis == 0);
    CHECK(taken.reading.centres_mm == 62.5);
    CHECK(taken.reading.step == optics::Dioptre::millionths(125'000));
}

TEST_CASE("Powers stand in JSON as the decimals that people write") {
    const std::vector<std::pair<std::int64_t, std::string>> rows{
        {-1'250'000, "-1.25"},
        {125'000, "0.125"},
        {62'500, "0.0625"},
        {10'000, "0.01"},
        {0, "0.0"},
        {-60'000'000, "-60.0"},
        {120'001, "0.120001"},
        {-19'999'999, "-19.999999"},
    };
    for (const auto& [millionths, text] : rows) {
        const optics::Power power{optics::Dioptre::millionths(millionths), {}, 0};
        CHECK(record::to_json(power)["sphere"].dump() == text);
    }
    CHECK(record::to_json(optics::Power{{}, optics::Dioptre::hundredths(-50), 85})["axis"].dump() == "85");
    CHECK(record::to_json(optics::Power{{}, {}, 0})["axis"].is_null());
}

TEST_CASE("Every eighth, sixteenth and hundredth within 60 D is held exactly through JSON") {
    for (const std::int64_t step : {125'000, 62'500, 10'000}) {
        for (std::int64_t n = -60'000'000; n <= 60'000'000; n += step) {
            const optics::Power power{optics::Dioptre::millionths(n), {}, 0};
            const json read = json::parse(record::to_json(power).dump());
            if (record::power_from_json(read, "") != power) FAIL("not exact: " << n << " millionths");
        }
    }
    SUCCEED("all were exact");
}

TEST_CASE("A mistake in an event is told with its place") {
    struct Row {
        const char* patch;
        const char* said;
    };
    const std::vector<Row> rows{
        {R"({"op":"remove","path":"/seq"})", "seq: missing"},
        {R"({"op":"replace","path":"/seq","value":0})",
         "seq: expected a whole number from 1 to 9223372036854775807"},
        {R"({"op":"replace","path":"/seq","value":1.0})", "seq: expected a whole number"},
        {R"({"op":"replace","path":"/seq","value":18446744073709551615})", "seq: expected a whole number"},
        {R"({"op":"replace","path":"/at","value":"2026-02-29T00:00:00.000Z"})", "at: expected a moment"},
        {R"({"op":"replace","path":"/at","value":"2026-11-24 22:50:00"})", "at: expected a moment"},
        {R"({"op":"replace","path":"/at","value":5})", "at: expected a text, found number"},
        {R"({"op":"replace","path":"/kind","value":"readings"})",
         "kind: there is no kind of event \"readings\""},
        {R"({"op":"replace","path":"/body","value":[]})", "body: expected an object, found array"},
        {R"({"op":"add","path":"/extra","value":1})", "there is no member \"extra\" here"},
        {R"({"op":"add","path":"/body/extra","value":1})", "body: there is no member \"extra\" here"},
        {R"({"op":"remove","path":"/body/late"})", "body.late: missing"},
        {R"({"op":"replace","path":"/body/late","value":0})", "body.late: expected true or false"},
        {R"({"op":"replace","path":"/body/age_ms","value":-1})",
         "body.age_ms: expected a whole number from 0"},
        {R"({"op":"replace","path":"/body/id/adapter","value":"12"})",
         "body.id.adapter: expected 16 hex digits"},
        {R"({"op":"replace","path":"/body/id/number","value":0})",
         "body.id.number: expected a whole number from 1"},
        {R"({"op":"replace","path":"/body/id/epoch","value":4294967296})",
         "body.id.epoch: expected a whole number"},
        {R"({"op":"remove","path":"/body/id/record_crc"})", "body.id.record_crc: missing"},
        {R"({"op":"replace","path":"/body/reading/lenses","value":[]})",
         "body.reading.lenses: expected a list of one"},
        {R"({"op":"copy","from":"/body/reading/lenses/0","path":"/body/reading/lenses/1"})",
         "body.reading.lenses: expected a list of one lens or two"},
        {R"({"op":"move","from":"/body/reading/lenses/0","path":"/body/reading/lenses/1"})",
         "body.reading.lenses: expected the right lens before the left"},
        {R"({"op":"replace","path":"/body/reading/lenses/0/sphere","value":60.000001})",
         "body.reading.lenses[0].sphere: expected a number from -60 to 60"},
        {R"({"op":"replace","path":"/body/reading/lenses/0/sphere","value":"-1.25"})",
         "body.reading.lenses[0].sphere: expected a number"},
        {R"({"op":"replace","path":"/body/reading/lenses/0/sphere","value":0.1234567})",
         "body.reading.lenses[0].sphere: expected a number with six decimals at most"},
        {R"({"op":"remove","path":"/body/reading/lenses/1/cylinder"})",
         "body.reading.lenses[1].cylinder: missing"},
        {R"({"op":"remove","path":"/body/reading/lenses/0/axis"})",
         "body.reading.lenses[0].axis: expected a number from 0 to 180, as there is a cylinder"},
        {R"({"op":"replace","path":"/body/reading/lenses/0/axis","value":180.5})",
         "body.reading.lenses[0].axis: expected a number from 0 to 180"},
        {R"({"op":"replace","path":"/body/reading/lenses/0/eye","value":"R"})",
         "body.reading.lenses[0].eye: expected \"right\" or \"left\""},
        {R"({"op":"remove","path":"/body/reading/lenses/0/prism/up"})",
         "body.reading.lenses[0].prism.up: missing"},
        {R"({"op":"add","path":"/body/reading/lenses/0/prism/down","value":0})",
         "body.reading.lenses[0].prism: there is no member \"down\" here"},
        {R"({"op":"replace","path":"/body/reading/centres","value":9.9})",
         "body.reading.centres: expected a number from 10 to 120"},
        {R"({"op":"replace","path":"/body/reading/centres","value":120.1})",
         "body.reading.centres: expected"},
        {R"({"op":"replace","path":"/body/reading/step","value":0})",
         "body.reading.step: expected a number above 0"},
        {R"({"op":"replace","path":"/body/reading/source","value":"guess"})",
         "body.reading.source: expected"},
    };
    for (const Row& row : rows) {
        INFO(row.patch);
        CHECK_THAT(complaint_after(row.patch), Catch::StartsWith(row.said));
    }
}

TEST_CASE("Somebody else's members, named x-, are ignored, and a null stands for what is not known") {
    CHECK(complaint_after(R"({"op":"add","path":"/body/x-note","value":[1,2]})") == "taken");
    CHECK(complaint_after(R"({"op":"add","path":"/x-note","value":"a"})") == "taken");
    CHECK(complaint_after(R"({"op":"replace","path":"/body/age_ms","value":null})") == "taken");
    CHECK(complaint_after(R"({"op":"replace","path":"/body/late","value":null})") == "body.late: missing");
}

TEST_CASE("Each kind's body is read strictly") {
    struct Row {
        const char* kind;
        const char* body;
        const char* said;
    };
    const std::vector<Row> rows{
        {"started", R"({"version":"","store":"0123456789ABCDEF","bench":"K","series":"A"})",
         "body.version: expected"},
        {"started", R"({"version":"1","store":"0123456789ABCDEG","bench":"K","series":"A"})",
         "body.store: expected"},
        {"text", R"({"role":"poem","hash":"","text":""})", "body.role: expected \"rules\" or \"settings\""},
        {"text", R"({"role":"rules","hash":"e3b0","text":""})", "body.hash: expected 64 hex digits"},
        {"greeted", R"({"adapter":"none"})", "body.adapter: expected 16 hex digits, found \"none\""},
        {"key", R"({"key":"undo","long_press":false,"late":false})", "body.id: missing"},
        {"act", R"({"act":"dance","values":{},"text":""})",
         "body.act: expected a known act, found \"dance\""},
        {"act", R"({"act":"mark","values":{"tint":"drak"},"text":""})",
         "body.values: tint is one of none, light, dark, changing, not \"drak\"; did you mean \"dark\"?"},
        {"act", R"({"act":"mark","values":{"tint":1},"text":""})", "body.values.\"tint\": expected a text"},
        {"act", R"({"act":"mark","values":[],"text":""})", "body.values: expected an object"},
        {"act", R"({"act":"undo","pair":0,"values":{},"text":""})",
         "body.pair: expected a whole number from 1"},
        {"time-out", R"({"what":"half-pair","pair":0})", "body.pair: expected"},
        {"numbered", R"({"pair":1,"number":"N","series":"A","counter":0,"date":"2026-01-01","place":""})",
         "body.counter: expected"},
        {"numbered", R"({"pair":1,"number":"N","series":"A","counter":1,"date":"2026-13-01","place":""})",
         "body.date: expected"},
        {"printed", R"({"number":"N","copy":0,"outcome":"lost","say":""})",
         "body.outcome: expected a print outcome"},
        {"note", R"({"what":"","say":""})", "body.what: expected a text that is not empty"},
    };
    for (const Row& row : rows) {
        INFO(row.kind << " " << row.body);
        CHECK_THAT(complaint_about(row.kind, row.body), Catch::StartsWith(row.said));
    }
}

TEST_CASE("A text in force whose hash is another text's is refused") {
    const std::string abc = record::sha256("abc");
    CHECK(complaint_about("text", R"({"role":"rules","text":"abc","hash":")" + abc + "\"}") == "taken");
    CHECK_THAT(complaint_about("text", R"({"role":"rules","text":"abd","hash":")" + abc + "\"}"),
               Catch::StartsWith("body.hash: expected the SHA-256 of the text"));
}

TEST_CASE("Numbers that are not finite are refused") {
    for (const double value :
         {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()}) {
        CHECK_THROWS_AS(record::power_from_json({{"sphere", value}, {"cylinder", 0}}, "lens"),
                        record::BadRecord);
        CHECK_THROWS_AS(record::power_from_json({{"sphere", 0}, {"cylinder", 1}, {"axis", value}}, "lens"),
                        record::BadRecord);
    }
}

TEST_CASE("Foreign bytes reach a sentence only in printable form") {
    const std::string said = complaint_about("caf\xc3\xa9\x1b[2J", "{}");
    CHECK(said == "kind: there is no kind of event \"caf\\xc3\\xa9\\x1b[2J\"");
    CHECK(record::in_quotes(std::string(100, 'a')).size() < 50);
}
