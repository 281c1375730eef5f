// The configuration: what is read, and what is said of a mistake.
#include "host/bench/config.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "tests/store/fresh_folder.hpp"
#include "tests/trees.hpp"

using namespace pairmark;
using namespace pairmark::bench;
using nlohmann::json;
using namespace std::chrono_literals;

namespace {

std::string complaint(const std::string& text) {
    try {
        (void)parse_config(text, "/bench");
        return "";
    } catch (const BadConfig& bad) {
        return bad.what();
    }
}

json schema() {
    return json::parse(tests::bytes_of(pairmark::tests::in_source_tree("host/bench/config.schema.json")));
}

std::set<std::string> names_in_schema(const json& object) {
    std::set<std::string> names;
    for (const auto& [name, what] : object["properties"].items())
        names.insert(name);
    return names;
}

/// The names that the parser offers where it meets one that it does not know.
std::set<std::string> names_offered(const std::string& text) {
    const std::string said = complaint(text);
    const std::string key = "one of these names here: ";
    const std::size_t at = said.find(key);
    std::set<std::string> names;
    if (at == std::string::npos) return names;
    std::istringstream words(said.substr(at + key.size()));
    for (std::string word; words >> word;) {
        word.erase(std::remove(word.begin(), word.end(), ','), word.end());
        names.insert(word);
    }
    return names;
}

}  // namespace

TEST_CASE("An empty configuration is a whole one, with its files beside it") {
    const Config config = parse_config("{}", "/bench");
    CHECK(config.programme == "Spectacles programme");
    CHECK(config.bench == "A1");
    CHECK(config.database == "/bench/pairmark.db");
    CHECK(config.labels == "/bench/labels");
    CHECK_FALSE(config.port);
    CHECK_FALSE(config.profile);
    CHECK_FALSE(config.rules);
    CHECK(config.looked_over_earlier);
    CHECK(config.half_pair_after == 5min);
    CHECK(config.late_after == 30s);
    CHECK(config.filing.boxes.name == "Box");
    CHECK(config.filing.boxes.slots == 50);
    CHECK(config.filing.by == FilingBy::boxes);
    CHECK(config.label == LabelSettings{});
    CHECK(config.label.paper.size == record::LabelSize{60, 40});
    CHECK(config.label.paper.dots_per_inch == 203);
    CHECK_FALSE(config.label.paper.for_spectacles);
}

TEST_CASE("Every member of a configuration is read") {
    const Config config = parse_config(R"({"programme": "Lesesaal", "bench": "K7", "database": "day/a.db",
        "labels": "/out", "port": "/dev/ttyACM0", "profile": "ours.json", "rules": "/etc/rules.json",
        "looked_over": "key", "half_pair_minutes": 120, "late_seconds": 1,
        "boxes": {"name": "Kiste", "slots": 1000}, "filing": "power",
        "label": {"size": "80x50.5", "dpi": 300, "spectacles": "30x12", "extra": "Saal 4",
        "facts": ["frame-size", "wearer", "style", "rim", "lens-type"]}})",
                                       "/bench");
    CHECK(config.programme == "Lesesaal");
    CHECK(config.bench == "K7");
    CHECK(config.database == "/bench/day/a.db");
    CHECK(config.labels == "/out");
    CHECK(config.port == "/dev/ttyACM0");
    CHECK(config.profile == "/bench/ours.json");
    CHECK(config.rules == "/etc/rules.json");
    CHECK_FALSE(config.looked_over_earlier);
    CHECK(config.half_pair_after == 120min);
    CHECK(config.late_after == 1s);
    CHECK(config.filing.boxes.name == "Kiste");
    CHECK(config.filing.boxes.slots == 1000);
    CHECK(config.filing.by == FilingBy::power);
    CHECK(config.label.paper.size == record::LabelSize{80, 50.5});
    CHECK(config.label.paper.dots_per_inch == 300);
    CHECK(config.label.paper.for_spectacles == record::LabelSize{30, 12});
    CHECK(config.label.wishes == LabelWishes{true, true, true, true, true, "Saal 4"});
}

TEST_CASE("A mistake in a configuration is named with its place and what was expected") {
    struct Row {
        std::string text;
        const char* place;
        const char* expected;
    };
    for (const Row& row : {
             Row{"{", "not JSON", "line 1"},
             Row{"[]", "at :", "an object"},
             Row{R"({"programme": ""})", "/programme", "text of 1 to 80 bytes"},
             Row{R"({"programme": ")" + std::string(81, 'x') + "\"}", "/programme", "text of 1 to 80 bytes"},
             Row{R"({"programme": 7})", "/programme", "text of 1 to 80 bytes"},
             Row{R"({"bench": "a1"})", "/bench", "1 to 4 of A-Z and 0-9"},
             Row{R"({"bench": "ABCDE"})", "/bench", "text of 1 to 4 bytes"},
             Row{R"({"database": []})", "/database", "text of 1 to 4000 bytes"},
             Row{R"({"labels": null})", "/labels", "text of 1 to 4000 bytes"},
             Row{R"({"port": 1})", "/port", "text of 1 to 4000 bytes"},
             Row{R"({"profile": true})", "/profile", "text of 1 to 4000 bytes"},
             Row{R"({"rules": {}})", "/rules", "text of 1 to 4000 bytes"},
             Row{R"({"looked_over": "never"})", "/looked_over", "\"earlier\""},
             Row{R"({"half_pair_minutes": 0})", "/half_pair_minutes", "from 1 to 120"},
             Row{R"({"half_pair_minutes": 121})", "/half_pair_minutes", "from 1 to 120"},
             Row{R"({"half_pair_minutes": 1.5})", "/half_pair_minutes", "a whole number"},
             Row{R"({"late_seconds": 3601})", "/late_seconds", "from 1 to 3600"},
             Row{R"({"late_seconds": 4294967297})", "/late_seconds", "from 1 to 3600"},
             Row{R"({"late_seconds": "30"})", "/late_seconds", "from 1 to 3600"},
             Row{R"({"filing": "size"})", "/filing", "\"boxes\""},
             Row{R"({"filing": 1})", "/filing", "\"power\""},
             Row{R"({"label": "60x40"})", "/label", "an object"},
             Row{R"({"label": {"size": 60}})", "/label/size", "WIDTHxHEIGHT"},
             Row{R"({"label": {"size": "60"}})", "/label/size", "from 40x20 to 100x60"},
             Row{R"({"label": {"size": "39.5x20"}})", "/label/size", "from 40x20 to 100x60"},
             Row{R"({"label": {"size": "40x19.5"}})", "/label/size", "from 40x20 to 100x60"},
             Row{R"({"label": {"size": "100.5x60"}})", "/label/size", "from 40x20 to 100x60"},
             Row{R"({"label": {"size": "100x60.5"}})", "/label/size", "from 40x20 to 100x60"},
             Row{R"({"label": {"size": "60.25x40"}})", "/label/size", "whole or half millimetres"},
             Row{R"({"label": {"size": "60x40mm"}})", "/label/size", "as in \"60x40\""},
             Row{R"({"label": {"size": "060x40"}})", "/label/size", "as in \"60x40\""},
             Row{R"({"label": {"size": "x40"}})", "/label/size", "as in \"60x40\""},
             Row{R"({"label": {"dpi": 204}})", "/label/dpi", "203 or 300"},
             Row{R"({"label": {"dpi": "203"}})", "/label/dpi", "203 or 300"},
             Row{R"({"label": {"spectacles": "29.5x12"}})", "/label/spectacles", "from 30x12 to 100x60"},
             Row{R"({"label": {"spectacles": true}})", "/label/spectacles", "WIDTHxHEIGHT"},
             Row{R"({"label": {"facts": "rim"}})", "/label/facts", "a list of some of \"frame-size\""},
             Row{R"({"label": {"facts": ["rim", "colour"]}})", "/label/facts/1", "one of \"frame-size\""},
             Row{R"({"label": {"facts": ["rim", "rim"]}})", "/label/facts/1", "each once"},
             Row{R"({"label": {"facts": [7]}})", "/label/facts/0", "one of"},
             Row{R"({"label": {"extra": ""}})", "/label/extra", "text of 1 to 80 bytes"},
             Row{R"({"label": {"colour": 1}})", "/label/colour", "dpi, extra, facts, size, spectacles"},
             Row{R"({"boxes": 3})", "/boxes", "an object"},
             Row{R"({"boxes": {"slots": 0}})", "/boxes/slots", "from 1 to 1000"},
             Row{R"({"boxes": {"name": "a name too long"}})", "/boxes/name", "text of 1 to 12 bytes"},
             Row{R"({"boxes": {"slot": 5}})", "/boxes/slot", "name, slots"},
         }) {
        CAPTURE(row.text);
        CHECK_THAT(complaint(row.text), Catch::Contains(row.place) && Catch::Contains(row.expected));
    }
}

TEST_CASE("All mistakes of a configuration are said at once") {
    const std::string said = complaint(R"({"bench": "?", "late_seconds": 0, "boxes": {"slots": -1}})");
    for (const char* place : {"/bench", "/late_seconds", "/boxes/slots"})
        CHECK_THAT(said, Catch::Contains(place));
}

TEST_CASE("An unknown name is answered with the valid ones, which are those of the schema") {
    const json document = schema();
    CHECK(names_offered(R"({"programm": "x"})") == names_in_schema(document));
    CHECK(names_offered(R"({"label": {"colour": 3}})") == names_in_schema(document["properties"]["label"]));
    CHECK(names_offered(R"({"boxes": {"size": 3}})") == names_in_schema(document["properties"]["boxes"]));
}

TEST_CASE("The schema's limits are the parser's") {
    const json document = schema();
    for (const auto& [name, what] : document["properties"].items()) {
        if (what.value("type", "") != "integer") continue;
        for (const char* end : {"minimum", "maximum"}) {
            const int limit = what[end].get<int>();
            const int beyond = limit + (end == std::string("maximum") ? 1 : -1);
            CAPTURE(name, limit);
            CHECK(complaint(json{{name, limit}}.dump()).empty());
            CHECK_THAT(complaint(json{{name, beyond}}.dump()), Catch::Contains("/" + name));
        }
    }
    for (const char* name : {"looked_over", "filing"})
        for (const json& word : document["properties"][name]["enum"])
            CHECK(complaint(json{{name, word}}.dump()).empty());
    const json& label = document["properties"]["label"]["properties"];
    for (const json& dots : label["dpi"]["enum"])
        CHECK(complaint(json{{"label", {{"dpi", dots}}}}.dump()).empty());
    CHECK(complaint(json{{"label", {{"size", "100x60"}, {"facts", label["facts"]["items"]["enum"]}}}}.dump())
              .empty());
}

TEST_CASE("A configuration file is named in what is said of it, and files are sought beside it") {
    const tests::FreshFolder folder;
    tests::write_file(folder / "good.json", "{}");
    CHECK(load_config(folder / "good.json").database == folder / "pairmark.db");
    tests::write_file(folder / "bad.json", R"({"late_seconds": 0})");
    CHECK_THROWS_WITH(load_config(folder / "bad.json"),
                      Catch::Contains((folder / "bad.json").string()) && Catch::Contains("/late_seconds"));
    CHECK_THROWS_WITH(load_config(folder / "none.json"),
                      Catch::Contains((folder / "none.json").string()) && Catch::Contains("permissions"));
}

TEST_CASE("Sizes are written and read in whole and half millimetres") {
    for (const char* size : {"40x20", "100x60", "60x40", "57.5x32", "57x32.5"}) {
        const auto read = size_from(size, envelope_label);
        REQUIRE(read);
        CHECK(text_of(*read) == size);
    }
    CHECK(size_from("60.0x40.0", envelope_label) == record::LabelSize{60, 40});
    CHECK(size_from("30x12", spectacles_label) == record::LabelSize{30, 12});
}

TEST_CASE("What can never stand on the label is a mistake of the configuration, with its place") {
    struct Row {
        std::string text;
        const char* place;
    };
    for (const Row& row : {
             Row{R"({"programme": "\u773c\u955c"})", "at /programme:"},
             Row{json{{"programme", std::string(80, 'W')}}.dump(), "at /programme:"},
             Row{R"({"boxes": {"name": "\u773c"}})", "at /boxes:"},
             Row{R"({"label": {"extra": "\u773c"}})", "at /label/extra:"},
             Row{json{{"label", {{"extra", std::string(80, 'W')}}}}.dump(), "at /label/extra:"},
         }) {
        CAPTURE(row.text);
        CHECK_THAT(complaint(row.text),
                   Catch::Contains(row.place) && Catch::Contains("every label can be made"));
    }
}

TEST_CASE("The settings that a session carries are read back as they were") {
    for (const bool earlier : {true, false}) {
        Config config;
        config.programme = "Brillen für Łódź";
        config.looked_over_earlier = earlier;
        if (earlier) {
            config.filing = {FilingBy::power, {"Kiste", 40}};
            config.label.paper = {{57.5, 32}, 300, record::LabelSize{30, 12}};
            config.label.wishes = {true, false, true, false, true, "Zażółć"};
        }
        const Settings settings = parse_settings(settings_text(config));
        CHECK(settings.programme == config.programme);
        CHECK(settings.looked_over_earlier == earlier);
        CHECK(settings.filing == config.filing);
        CHECK(settings.label == config.label);
    }
    CHECK_THROWS_AS(parse_settings("nothing"), BadConfig);
    CHECK_THROWS_AS(parse_settings(R"({"looked_over": "later"})"), BadConfig);
    CHECK_THROWS_AS(parse_settings(R"({"bench": "A1"})"), BadConfig);
    CHECK_THROWS_AS(parse_settings(R"({"label": {"size": "1x1"}})"), BadConfig);
}

TEST_CASE("The settings of a session from before labels had sizes mean the label of that time") {
    const Settings settings = parse_settings(R"({"programme": "Reading Room", "looked_over": "key"})");
    CHECK(settings.programme == "Reading Room");
    CHECK_FALSE(settings.looked_over_earlier);
    CHECK(settings.filing == FilingPlan{});
    CHECK(settings.label == LabelSettings{});
}
