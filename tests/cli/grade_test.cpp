// `pairmark grade` from outside: JSON Lines in, JSON Lines out.
#include <catch2/catch.hpp>
#include <cmath>
#include <nlohmann/json.hpp>

#include "tests/cli/program.hpp"

using namespace pairmark::tests;
using nlohmann::json;

namespace {

std::vector<json> parsed(const std::string& text) {
    std::vector<json> all;
    for (const std::string& line : lines_of(text))
        all.push_back(json::parse(line));
    return all;
}

json only_answer(const std::string& line, const Words& options = {}) {
    Words words{"grade"};
    words.insert(words.end(), options.begin(), options.end());
    const auto answers = parsed(call(words, line + "\n").out);
    if (answers.size() != 1) throw std::runtime_error("not one answer to one line");
    return answers[0];
}

const std::string plain = R"({"right":{"sphere":-1,"cylinder":0},"left":{"sphere":-1,"cylinder":0}})";

}  // namespace

TEST_CASE("A pair in plus cylinder comes back in minus cylinder, and a lens without cylinder without axis") {
    const Run run = call({"grade"}, R"({"right":{"sphere":1.00,"cylinder":0.50,"axis":10,"add":null},)"
                                    R"("left":{"sphere":1.25,"cylinder":0,"axis":90},"centres":62.0})"
                                    "\n");
    CHECK(run.status == 0);
    CHECK(run.err.empty());
    const auto answers = parsed(run.out);
    REQUIRE(answers.size() == 1);
    CHECK(answers[0]["verdict"] == "keep");
    CHECK(answers[0]["tray"] == "stock");
    CHECK(answers[0]["right"] == json::parse(R"({"sphere":1.5,"cylinder":-0.5,"axis":100})"));
    CHECK(answers[0]["left"] == json::parse(R"({"sphere":1.25,"cylinder":0,"axis":null})"));
    CHECK(answers[0]["reasons"].is_array());
}

TEST_CASE("A bad line has its error in its place, the others are graded, and the status is 2") {
    const Run run = call({"grade"}, plain + "\nnonsense\n" + plain + "\n{\"right\":{}}\n" + plain);
    CHECK(run.status == 2);
    const auto answers = parsed(run.out);
    REQUIRE(answers.size() == 5);
    for (const std::size_t at : {0U, 2U, 4U})
        CHECK(answers[at]["verdict"] == "keep");
    for (const std::size_t at : {1U, 3U}) {
        CHECK(answers[at].size() == 1);
        CHECK_THAT(answers[at]["error"].get<std::string>(),
                   Catch::Contains("line " + std::to_string(at + 1)));
    }
}

TEST_CASE("Reasons name their rule, sentence, value and limit") {
    const json answer = only_answer(
        R"({"right":{"sphere":-1,"cylinder":-2.25,"axis":90},"left":{"sphere":-1,"cylinder":-2.25,"axis":90}})");
    REQUIRE(answer["reasons"].size() == 1);
    const json& reason = answer["reasons"][0];
    CHECK(reason["rule"] == "strong-cylinder");
    CHECK(reason["say"].get<std::string>().size() > 10);
    CHECK(reason["value"] == 2.25);
    CHECK(reason["limit"] == 2.0);
}

TEST_CASE("The program's own rules are used where they are given, and a mistake in them ends with status 1") {
    const FreshFolder folder;
    write_file(folder / "rules.json", R"({"name":"N","date":"2026-01-01","rules":[{"id":"minus",
        "when":{"quantity":"smallest_meridian","lens":"either","under":-0.5},"verdict":"discard","say":"Minus"}]})");
    CHECK(only_answer(plain, {"--rules", (folder / "rules.json").string()})["reasons"][0]["rule"] == "minus");
    write_file(folder / "rules.json", R"({"name":"N","date":"2026-01-01","ruels":[]})");
    const Run bad = call({"grade", "--rules", (folder / "rules.json").string()}, plain);
    CHECK(bad.status == 1);
    CHECK(bad.out.empty());
    CHECK_THAT(bad.err, Catch::Contains("rules.json") && Catch::Contains("ruels"));
}

TEST_CASE("A step of 1/8 repairs cut eighths, and without it numbers are taken literally") {
    const std::string line =
        R"({"right":{"sphere":-0.62,"cylinder":-0.37,"axis":90},"left":{"sphere":-1,"cylinder":0}})";
    CHECK(only_answer(line)["right"]["sphere"] == -0.5);
    CHECK(only_answer(line, {"--step", "0.125"})["right"]["sphere"] == -0.75);
}

TEST_CASE("Common practice, no published source: a cylinder of -4.50 is too strong to keep, in either form") {
    for (const char* lens : {R"({"sphere":-1.00,"cylinder":-4.50,"axis":90})",
                             R"({"sphere":-5.50,"cylinder":4.50,"axis":180})"}) {
        const std::string eye = lens;
        const json answer = only_answer(R"({"right":)" + eye + R"(,"left":)" + eye + "}");
        CHECK(answer["verdict"] == "discard");
        CHECK(answer["right"] == json::parse(R"({"sphere":-1,"cylinder":-4.5,"axis":90})"));
    }
}

TEST_CASE("Common practice, no published source: right is written before left") {
    const std::string out = call({"grade"}, plain + "\n").out;
    REQUIRE(out.find("\"right\"") != std::string::npos);
    CHECK(out.find("\"right\"") < out.find("\"left\""));
}

TEST_CASE("Common practice, no published source: minus cylinder, in steps of 0.25 D") {
    for (const char* lens :
         {R"({"sphere":0.37,"cylinder":1.13,"axis":44})", R"({"sphere":-2.61,"cylinder":0.40,"axis":3})",
          R"({"sphere":3.03,"cylinder":-0.71,"axis":179})"}) {
        const std::string eye = lens;
        const json power = only_answer(R"({"right":)" + eye + R"(,"left":)" + eye + "}")["right"];
        CAPTURE(power.dump());
        CHECK(power["cylinder"] < 0);
        for (const char* part : {"sphere", "cylinder"}) {
            const double quarters = power[part].get<double>() * 4;
            CHECK(quarters == std::floor(quarters));
        }
        CHECK(power["axis"] >= 1);
        CHECK(power["axis"] <= 180);
    }
}
