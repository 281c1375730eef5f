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
    CHECK(config.boxes.name == "Box");
    CHECK(config.boxes.slots == 50);
}

TEST_CASE("Every member of a configuration is read") {
    const Config config = parse_config(R"({"programme": "Lesesaal", "bench": "K7", "database": "day/a.db",
        "labels": "/out", "port": "/dev/ttyACM0", "profile": "ours.json", "rules": "/etc/rules.json",
        "looked_over": "key", "half_pair_minutes": 120, "late_seconds": 1,
        "boxes": {"name": "Kiste", "slots": 1000}})",
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
    CHECK(config.boxes.name == "Kiste");
    CHECK(config.boxes.slots == 1000);
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
    for (const json& word : document["properties"]["looked_over"]["enum"])
        CHECK(complaint(json{{"looked_over", word}}.dump()).empty());
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

TEST_CASE("The settings that a session carries are read back as they were") {
    for (const bool earlier : {true, false}) {
        Config config;
        config.programme = "Brillen für Łódź";
        config.looked_over_earlier = earlier;
        const Settings settings = parse_settings(settings_text(config));
        CHECK(settings.programme == config.programme);
        CHECK(settings.looked_over_earlier == earlier);
    }
    CHECK_THROWS_AS(parse_settings("nothing"), BadConfig);
    CHECK_THROWS_AS(parse_settings(R"({"looked_over": "later"})"), BadConfig);
    CHECK_THROWS_AS(parse_settings(R"({"bench": "A1"})"), BadConfig);
}

TEST_CASE("Boxes fill in order, slot by slot") {
    struct Row {
        int slots;
        std::int64_t nth;
        const char* place;
    };
    for (const Row& row :
         {Row{50, 1, "Box 1-01"}, Row{50, 50, "Box 1-50"}, Row{50, 51, "Box 2-01"}, Row{50, 57, "Box 2-07"},
          Row{1, 3, "Box 3-01"}, Row{1000, 1000, "Box 1-1000"}, Row{1000, 100'001, "Box 101-01"}}) {
        CHECK(place_of(Boxes{"Box", row.slots}, row.nth) == row.place);
    }
}
