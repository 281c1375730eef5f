#include <catch2/catch.hpp>

#include "host/record/json.hpp"
#include "tests/record/random_events.hpp"

using namespace pairmark;
using nlohmann::json;
using optics::Dioptre;

namespace {

record::LabelFacts full_facts() {
    record::LabelFacts facts;
    facts.number = "K-A-000012-X";
    facts.date = "2026-11-24";
    facts.place = "box 3, slot 12";
    facts.programme = "Plain \u00e9xample";
    facts.right = {Dioptre::hundredths(-125), Dioptre::hundredths(-50), 85};
    facts.left = {Dioptre::hundredths(200), {}, 0};
    facts.right_equivalent = -1.5;
    facts.left_equivalent = 2;
    facts.right_addition = Dioptre::hundredths(225);
    facts.left_addition = Dioptre::hundredths(200);
    facts.addition_kind = "segment";
    facts.centres_mm = 62.5;
    facts.typed = true;
    facts.copy = 2;
    return facts;
}

auto every_field(const record::LabelFacts& f) {
    return std::tie(f.number, f.date, f.place, f.programme, f.right, f.left, f.right_equivalent,
                    f.left_equivalent, f.right_addition, f.left_addition, f.addition_kind, f.centres_mm,
                    f.typed, f.copy);
}

}  // namespace

TEST_CASE("The facts of a label are the same after writing and reading") {
    record::LabelFacts facts = full_facts();
    const record::LabelFacts read = record::label_facts_from_json(json::parse(record::to_json(facts).dump()));
    CHECK(every_field(read) == every_field(facts));
    facts.right_addition.reset();
    facts.left_addition.reset();
    facts.centres_mm.reset();
    facts.addition_kind.clear();
    const record::LabelFacts bare = record::label_facts_from_json(json::parse(record::to_json(facts).dump()));
    CHECK(every_field(bare) == every_field(facts));
}

TEST_CASE("Facts of a label lacking any required member are refused, with its name") {
    const json whole = record::to_json(full_facts());
    for (const char* name : {"number", "date", "place", "programme", "right", "left", "right_equivalent",
                             "left_equivalent", "addition_kind", "typed", "copy"}) {
        json without = whole;
        without.erase(name);
        CHECK_THROWS_WITH(record::label_facts_from_json(without), std::string(name) + ": missing");
    }
    json bad = whole;
    bad["right"]["axis"] = 181;
    CHECK_THROWS_WITH(record::label_facts_from_json(bad), "right.axis: expected a number from 0 to 180");
    bad = whole;
    bad["left"]["colour"] = 1;
    CHECK_THROWS_WITH(record::label_facts_from_json(bad), "left: there is no member \"colour\" here");
}

TEST_CASE("A reading is the same after writing and reading") {
    tests::RandomEvents random(7);
    for (int i = 0; i < 2000; ++i) {
        const record::Reading reading = random.reading();
        REQUIRE(record::reading_from_json(json::parse(record::to_json(reading).dump()), "reading") ==
                reading);
    }
}

TEST_CASE("A verdict is written with every reason, numbers as numbers") {
    record::Verdict verdict;
    verdict.decision = record::Decision::discard;
    verdict.tray = "glass";
    verdict.right = {Dioptre::hundredths(-125), Dioptre::hundredths(-450), 85};
    verdict.reasons = {{"cylinder", "too strong", record::Decision::discard, "-4.50", "+4.00", true},
                       {"tint", "dark", record::Decision::ask, "dark", std::nullopt, false},
                       {"odd", "not a number after all", record::Decision::keep, "1e999", "x", true}};
    CHECK(record::to_json(verdict) == json::parse(R"({"verdict":"discard","tray":"glass",
        "right":{"sphere":-1.25,"cylinder":-4.5,"axis":85},"left":{"sphere":0.0,"cylinder":0.0,"axis":null},
        "reasons":[{"rule":"cylinder","say":"too strong","decision":"discard","value":-4.5,"limit":4.0},
                   {"rule":"tint","say":"dark","decision":"ask","value":"dark","limit":null},
                   {"rule":"odd","say":"not a number after all","decision":"keep","value":"1e999","limit":"x"}]})"));
}

TEST_CASE("A pair is written with its lenses, marks and questions") {
    record::Pair pair;
    pair.id = 4;
    pair.state = record::PairState::asking;
    pair.right = record::MeasuredLens{
        {record::Eye::right, {Dioptre::hundredths(100), {}, 0}, {}, {}}, 9, Dioptre::hundredths(25), false};
    pair.marks = {{"tint", "dark"}};
    pair.questions = {{"half-pair", "Where is the left lens?", {"wait", "drop"}}};
    pair.turned_down_because = "";
    pair.late = true;
    CHECK(record::to_json(pair) == json::parse(R"({"id":4,"state":"asking",
        "right":{"eye":"right","sphere":1.0,"cylinder":0.0,"axis":null,"event":9,"step":0.25,"typed":false},"left":null,
        "marks":{"tint":"dark"},"questions":[{"id":"half-pair","say":"Where is the left lens?","choices":["wait","drop"]}],
        "looked_over":false,"late":true,"labels_made":0,"centres":null,"turned_down_because":""})"));
}
