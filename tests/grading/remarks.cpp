// What is remarked on rules that are valid, and what a condition's limits alone tell.
#include "host/grading/remarks.hpp"

#include <catch2/catch.hpp>

#include "host/grading/bounds.hpp"
#include "tests/grading/pairs.hpp"

using namespace pairmark;
using namespace pairmark::tests;

namespace {

grading::Condition condition(const std::string& json) {
    return discarding(json).rules.front().when;
}
bool never(const std::string& json) {
    return grading::can_never_hold(condition(json));
}
bool always(const std::string& json) {
    return grading::always_holds(condition(json));
}

std::string all_said(const grading::Rules& rules) {
    std::string text;
    for (const grading::Remark& remark : grading::remarks(rules))
        text += remark.place + ": " + remark.say + "\n";
    return text;
}

std::string cylinder(const std::string& lens, const std::string& limit) {
    return R"({"quantity": "cylinder", "lens": ")" + lens + R"(", )" + limit + "}";
}

}  // namespace

TEST_CASE("A limit that no value can pass makes a rule that never holds, or always") {
    CHECK(never(R"({"quantity": "cylinder", "under": 0})"));
    CHECK(never(R"({"quantity": "difference_any_meridian", "over": 60})"));
    CHECK_FALSE(never(R"({"quantity": "cylinder", "at_most": 0})"));
    CHECK_FALSE(never(R"({"quantity": "spherical_equivalent", "under": 0})"));
    CHECK(always(R"({"quantity": "cylinder", "at_least": 0})"));
    CHECK_FALSE(always(R"({"quantity": "cylinder", "over": 0})"));
    CHECK(always(R"({"not": {"quantity": "cylinder", "under": 0}})"));
    CHECK(never(R"({"not": {"quantity": "cylinder", "at_least": 0}})"));
}

TEST_CASE("Parts of one `all` that leave no value never hold together, and of `any` they may hold always") {
    const auto all = [](const std::string& a, const std::string& b) {
        return R"({"all": [)" + a + "," + b + "]}";
    };
    const std::string over_2 = R"("over": 2)";
    const std::string under_1 = R"("under": 1)";
    CHECK(never(all(cylinder("both", over_2), cylinder("both", under_1))));
    CHECK(never(all(cylinder("both", over_2), cylinder("left", under_1))));
    CHECK(never(all(cylinder("right", over_2), cylinder("right", R"("at_most": 2)"))));
    CHECK_FALSE(never(all(cylinder("right", R"("at_least": 2)"), cylinder("right", R"("at_most": 2)"))));
    // Another lens each.
    CHECK_FALSE(never(all(cylinder("either", over_2), cylinder("either", under_1))));
    CHECK_FALSE(never(all(cylinder("right", over_2), cylinder("left", under_1))));
    // One as on the label, one as measured.
    CHECK_FALSE(
        never(all(cylinder("both", R"("over": 2)"), cylinder("both", R"("at_most": 2, "measured": true)"))));
    // "not either over 2" says that both are at most 2.
    CHECK(never(all(R"({"not": )" + cylinder("either", over_2) + "}", cylinder("left", R"("over": 3)"))));
    CHECK(never(all(R"({"mark": "tint", "is": ["dark"]})", R"({"mark": "tint", "is": ["none", "light"]})")));
    CHECK_FALSE(never(all(R"({"mark": "tint", "is": ["dark"]})", R"({"mark": "rim", "is": ["none"]})")));
    CHECK(never(all(R"({"quantity": "difference_vertical", "over": 2})",
                    R"({"quantity": "difference_vertical", "at_most": 2})")));
    CHECK(always(R"({"any": [{"quantity": "difference_vertical", "over": 2},
                             {"quantity": "difference_vertical", "at_most": 2}]})"));
    CHECK(always(R"({"mark": "tint", "is": ["none", "light", "dark", "changing"]})"));
    CHECK_FALSE(always(R"({"mark": "frame_size", "is": ["S", "M", "L"]})"));
    CHECK_FALSE(always(R"({"not": {"mark": "carrier", "is": ["bag"]}})"));
    CHECK_FALSE(never(R"({"not": {"mark": "carrier", "is": ["bag"]}})"));
    CHECK(never(all(R"({"mark": "carrier", "is": ["bag"]})", R"({"mark": "carrier", "is": ["box"]})")));
}

TEST_CASE("Nothing is remarked on the example programme") {
    CHECK(all_said(example_rules()).empty());
}

TEST_CASE("Each thing that is seldom meant is remarked once, with the rule's place and id") {
    const std::string text = all_said(rules_with(R"("rules": [
        {"id": "form", "verdict": "ask", "say": "s", "when": {"not": {"quantity": "difference_sphere", "over": 1}}},
        {"id": "rims", "verdict": "discard", "say": "s", "when": {"mark": "rim", "is": ["none"]}},
        {"id": "dark", "verdict": "discard", "say": "s", "when": {"mark": "tint", "is": ["dark", "light"]}},
        {"id": "never", "verdict": "discard", "say": "s", "when": {"quantity": "cylinder", "under": 0}},
        {"id": "always", "verdict": "keep", "say": "s", "when": {"quantity": "cylinder", "at_least": 0}},
        {"id": "again", "verdict": "ask", "say": "s", "when": {"mark": "tint", "is": ["light", "dark"]}},
        {"id": "twice", "verdict": "discard", "say": "s", "when": {"mark": "tint", "is": ["dark", "light"]}}])"));
    CHECK_THAT(text, Catch::Contains("rules[0] (form): difference_sphere depends on the form"));
    CHECK_THAT(text, Catch::Contains("rules[1] (rims): asks of every pair: it needs the mark rim"));
    CHECK_THAT(text, Catch::Contains("rules[3] (never): can never hold"));
    CHECK_THAT(text, Catch::Contains("rules[4] (always): holds of every pair"));
    CHECK_THAT(text, Catch::Contains("rules[5] (again): has the same condition as \"dark\", which says "
                                     "\"discard\" where this one says \"ask\""));
    CHECK(std::count(text.begin(), text.end(), '\n') == 5);
}

TEST_CASE("A mark that is taken for granted, or asked about seldom, is no remark") {
    const auto with = [](const std::string& granted, const std::string& when) {
        return all_said(discarding(when, granted));
    };
    const std::string rim = R"({"mark": "rim", "is": ["none"]})";
    CHECK_THAT(with("{}", rim), Catch::Contains("rim"));
    CHECK_THAT(with("{}", R"({"not": {"all": [)" + rim + "]}}"), Catch::Contains("rim"));
    CHECK(with(R"({"rim": "full"})", rim).empty());
    CHECK(with("{}", R"({"all": [{"quantity": "cylinder", "over": 2}, )" + rim + "]}").empty());
    CHECK(with("{}", R"({"mark": "child", "is": ["yes"]})").empty());
}

TEST_CASE("What the instrument must report is told from the quantities that the rules use") {
    CHECK_FALSE(grading::needs_of_instrument(example_rules()).addition);
    CHECK_FALSE(grading::needs_of_instrument(example_rules()).centres);
    const std::string addition = R"({"not": {"quantity": "addition", "over": 0}})";
    CHECK(grading::needs_of_instrument(discarding(addition)).addition);
    CHECK_FALSE(grading::needs_of_instrument(discarding(addition, R"({"addition": 0})")).addition);
    CHECK(grading::needs_of_instrument(discarding(R"({"quantity": "centre_distance", "over": 60})")).centres);
    CHECK_FALSE(grading::needs_of_instrument(discarding(addition)).prism);
}
