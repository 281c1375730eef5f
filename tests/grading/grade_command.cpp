// `pairmark grade`: lines in, lines out.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <sstream>

#include "host/cli/grade.hpp"
#include "tests/grading/pairs.hpp"

using namespace pairmark;
using Json = nlohmann::json;

namespace {

struct Answer {
    int status;
    std::vector<Json> lines;
};

Answer answer_to(const std::string& input, double step = 0.25) {
    std::istringstream in(input);
    std::ostringstream out;
    cli::GradeOptions options;
    options.rules = tests::example_rules();
    options.step = optics::Dioptre::nearest(step);
    Answer answer{cli::run_grade(in, out, options), {}};
    std::istringstream lines(out.str());
    for (std::string line; std::getline(lines, line);) {
        answer.lines.push_back(Json::parse(line));
    }
    return answer;
}

std::string error_of(const std::string& line) {
    const Answer answer = answer_to(line);
    if (answer.status != 2 || answer.lines.size() != 1 || !answer.lines[0].contains("error"))
        return "no error";
    return answer.lines[0]["error"];
}

const std::string plain_left = R"("left":{"sphere":-1,"cylinder":0})";

std::string with_right(const std::string& right) {
    return "{\"right\":" + right + "," + plain_left + "}";
}

}  // namespace

TEST_CASE("A pair in either form comes back as it would stand on the label") {
    const Answer answer = answer_to(
        R"({"right":{"sphere":-1.10,"cylinder":0.55,"axis":10,"add":null},)"
        R"("left":{"sphere":-0.62,"cylinder":0.12,"axis":90},"centres":62.0,"marks":{"tint":"light"}})");
    CHECK(answer.status == 0);
    REQUIRE(answer.lines.size() == 1);
    CHECK(
        answer.lines[0] ==
        Json::parse(R"({"verdict":"keep","tray":"stock","right":{"sphere":-0.5,"cylinder":-0.5,"axis":100},)"
                    R"("left":{"sphere":-0.5,"cylinder":0,"axis":null},"reasons":[]})"));
}

TEST_CASE("Reasons carry value and limit, as numbers where they are numbers") {
    const Answer answer = answer_to(
        R"({"right":{"sphere":-1,"cylinder":-4.5,"axis":90},"left":{"sphere":-1,"cylinder":-4.5,"axis":90},)"
        R"("marks":{"tint":"dark"}})");
    REQUIRE(answer.lines.size() == 1);
    CHECK(answer.lines[0]["verdict"] == "discard");
    const Json& reasons = answer.lines[0]["reasons"];
    REQUIRE(reasons.size() == 2);
    CHECK(reasons[0]["rule"] == "dark-tint");
    CHECK(reasons[0]["value"] == "dark");
    CHECK(reasons[1]["rule"] == "strong-cylinder");
    CHECK(reasons[1]["value"] == 4.5);
    CHECK(reasons[1]["limit"] == 2.0);
    CHECK_FALSE(reasons[1]["say"].get<std::string>().empty());
}

TEST_CASE(
    "Numbers are taken literally, and cut eighths are repaired only at a step of 1/8 D (T27, derived)") {
    const std::string line = with_right(R"({"sphere":0.12,"cylinder":0.12,"axis":90})");
    CHECK(answer_to(line).lines.at(0)["right"] == Json::parse(R"({"sphere":0.25,"cylinder":0,"axis":null})"));
    const std::string minus = with_right(R"({"sphere":-0.62,"cylinder":-0.37,"axis":90})");
    // Literally -0.50 / -0.25. As -0.625 / -0.375 both lie half way: -0.75 / -0.25 has the nearer equivalent.
    CHECK(answer_to(minus).lines.at(0)["right"] ==
          Json::parse(R"({"sphere":-0.5,"cylinder":-0.25,"axis":90})"));
    CHECK(answer_to(minus, 0.125).lines.at(0)["right"] ==
          Json::parse(R"({"sphere":-0.75,"cylinder":-0.25,"axis":90})"));
    CHECK(answer_to(minus, 0.01).lines.at(0)["right"] ==
          Json::parse(R"({"sphere":-0.5,"cylinder":-0.25,"axis":90})"));
}

TEST_CASE("A bad line gets its error in its place, the others are graded, and the status at the end is 2") {
    const std::string good = with_right(R"({"sphere":-1,"cylinder":0})");
    const Answer answer = answer_to(good + "\nnonsense\n\n" + good + "\r\n{}\n" + good);
    CHECK(answer.status == 2);
    REQUIRE(answer.lines.size() == 5);
    for (const std::size_t at : {0U, 2U, 4U}) {
        CHECK(answer.lines[at]["verdict"] == "keep");
    }
    CHECK(answer.lines[1]["error"] == "line 2: column 2: not JSON from here");
    CHECK(answer.lines[3]["error"] == "line 5: right: missing; expected both lenses");
    CHECK(answer_to("").status == 0);
    CHECK(answer_to("").lines.empty());
}

TEST_CASE("What is wrong with a line is said with its place and what was expected") {
    struct Row {
        std::string line;
        const char* says;
    };
    for (
        const Row& row : {
            Row{"[]", "expected an object"},
            Row{with_right("3"), "right: expected an object, not 3"},
            Row{with_right(R"({"cylinder":0})"), "right.sphere: missing"},
            Row{with_right(R"({"sphere":null,"cylinder":0})"),
                "right.sphere: expected a number from -30 to 30, not null"},
            Row{with_right(R"({"sphere":"-1","cylinder":0})"),
                "right.sphere: expected a number from -30 to 30, not \"-1\""},
            Row{with_right(R"({"sphere":30.25,"cylinder":0})"), "right.sphere"},
            Row{with_right(R"({"sphere":1e999,"cylinder":0})"), "too large"},
            Row{with_right(R"({"sphere":NaN,"cylinder":0})"), "not JSON"},
            Row{with_right(R"({"sphere":1})"), "right.cylinder: missing"},
            Row{with_right(R"({"sphere":1,"cylinder":-12.25,"axis":9})"),
                "right.cylinder: expected a number from -12 to 12"},
            Row{with_right(R"({"sphere":1,"cylinder":-1})"), "right.axis: missing"},
            Row{with_right(R"({"sphere":1,"cylinder":-1,"axis":null})"), "right.axis: missing"},
            Row{with_right(R"({"sphere":1,"cylinder":-1,"axis":181})"),
                "right.axis: expected a number from 0 to 180, not 181"},
            Row{with_right(R"({"sphere":1,"cylinder":-1,"axis":-1})"), "right.axis"},
            Row{with_right(R"({"sphere":1,"cylinder":0,"axis":"x"})"), "right.axis"},
            Row{with_right(R"({"sphere":1,"cylinder":0,"add":-1})"), "right.add"},
            Row{with_right(R"({"sphere":1,"cylnder":0})"), "did you mean \"cylinder\"?"},
            Row{R"({"right":{"sphere":1,"cylinder":0}})", "left: missing"},
            Row{R"({"rihgt":{"sphere":1,"cylinder":0}})", "did you mean \"right\"?"},
            Row{R"({"right":{"sphere":1,"cylinder":0},"left":{"sphere":1,"cylinder":0},"centres":5})",
                "centres"},
            Row{R"({"right":{"sphere":1,"cylinder":0},"left":{"sphere":1,"cylinder":0},"marks":{"tnit":"dark"}})",
                "did you mean \"tint\"?"},
            Row{R"({"right":{"sphere":1,"cylinder":0},"left":{"sphere":1,"cylinder":0},"marks":{"tint":true}})",
                "tint is one of"},
            Row{R"({"right":{"sphere":1,"cylinder":0},"left":{"sphere":1,"cylinder":0},"marks":["tint"]})",
                "marks: expected an object"},
            Row{"\"\xff\"", "not JSON"},
        }) {
        CAPTURE(row.line);
        CHECK_THAT(error_of(row.line), Catch::Contains(row.says));
    }
}

TEST_CASE("The survey's extremes, the horizontal axis, and members of others are taken") {
    CHECK(answer_to(with_right(R"({"sphere":-15.5,"cylinder":10.5,"axis":180})")).status == 0);
    const Answer horizontal = answer_to(with_right(R"({"sphere":-1,"cylinder":-0.5,"axis":0})"));
    CHECK(horizontal.lines.at(0)["right"]["axis"] == 180);
    CHECK(answer_to(with_right(R"({"sphere":-1,"cylinder":0,"axis":999})")).status == 0);
    CHECK(answer_to(
              R"({"id":"a-1","right":{"sphere":1,"cylinder":0,"seen":2},"left":{"sphere":1,"cylinder":0}})")
              .status == 0);
}
