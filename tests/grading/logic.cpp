// Three-valued logic: what is not known asks, unless it does not matter.
#include <catch2/catch.hpp>

#include "host/grading/evaluate.hpp"
#include "tests/grading/pairs.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using record::Decision;

namespace {

const record::MeasuredLens lens = measured(-1);

// Leaves of each truth, for a pair of which nothing but the lenses is known and that cannot be looked over:
// "rim" has no in-order value.
const std::string yes = R"({"quantity":"cylinder","at_most":1})";
const std::string no = R"({"quantity":"cylinder","over":1})";
const std::string unknown = R"({"mark":"rim","is":["cord"]})";

Decision decision(const std::string& condition) {
    return grading::grade(discarding(condition), pair_of(lens, lens)).decision;
}

std::string list(const std::string& kind, const std::string& a, const std::string& b) {
    return "{\"" + kind + "\":[" + a + "," + b + "]}";
}

}  // namespace

TEST_CASE(
    "All, any and not follow Kleene's tables: unknown settles nothing and spoils nothing that is settled") {
    struct Row {
        std::string a, b;
        Decision all, any;
    };
    const Decision holds = Decision::discard;
    const Decision open = Decision::ask;
    const Decision fails = Decision::keep;
    for (const Row& row :
         {Row{yes, yes, holds, holds}, Row{yes, no, fails, holds}, Row{no, yes, fails, holds},
          Row{no, no, fails, fails}, Row{yes, unknown, open, holds}, Row{unknown, yes, open, holds},
          Row{no, unknown, fails, open}, Row{unknown, no, fails, open}, Row{unknown, unknown, open, open}}) {
        CAPTURE(row.a, row.b);
        CHECK(decision(list("all", row.a, row.b)) == row.all);
        CHECK(decision(list("any", row.a, row.b)) == row.any);
    }
    CHECK(decision("{\"not\":" + yes + "}") == fails);
    CHECK(decision("{\"not\":" + no + "}") == holds);
    CHECK(decision("{\"not\":" + unknown + "}") == open);
}

TEST_CASE("What no one can tell asks the rule's question, or names what is missing") {
    const std::string rule = R"("rules":[{"id":"r","verdict":"discard","say":"No","when":)" + unknown;
    record::Verdict verdict =
        grading::grade(rules_with(rule + R"(,"question":"Is the rim a cord?"}])"), pair_of(lens, lens));
    REQUIRE(verdict.reasons.size() == 1);
    CHECK(verdict.decision == Decision::ask);
    CHECK(verdict.reasons[0].rule == "r");
    CHECK(verdict.reasons[0].say == "Is the rim a cord?");
    CHECK(verdict.reasons[0].limit == "cord");
    CHECK_FALSE(verdict.reasons[0].value);
    verdict = grading::grade(rules_with(rule + "}]"), pair_of(lens, lens));
    REQUIRE(verdict.reasons.size() == 1);
    CHECK(verdict.reasons[0].say == "Not known yet: rim");
}

TEST_CASE("An addition that was not reported is unknown, not none, unless it is taken for granted") {
    const std::string condition = R"({"quantity":"addition","over":0})";
    const auto decide = [&](const char* granted, const record::Pair& pair) {
        return grading::grade(discarding(condition, granted), pair).decision;
    };
    CHECK(decide("{}", pair_of(lens, lens)) == Decision::ask);
    CHECK(decide(R"({"addition":0})", pair_of(lens, lens)) == Decision::keep);
    CHECK(decide(R"({"addition":0})", pair_of(measured(-1, 0, 0, 2), lens)) == Decision::discard);
    CHECK(decide("{}", pair_of(measured(-1, 0, 0, 2), lens)) == Decision::discard);
    CHECK(decide("{}", pair_of(measured(-1, 0, 0, 0), lens)) == Decision::ask);
    CHECK(decide("{}", pair_of(measured(-1, 0, 0, 0), measured(-1, 0, 0, 0))) == Decision::keep);
}

TEST_CASE("A pair that was not looked over asks once for all the marks that looking over would settle") {
    const grading::Rules rules = rules_with(R"("rules":[
        {"id":"tint","verdict":"discard","say":"Dark","when":{"mark":"tint","is":["dark"]}},
        {"id":"broken","verdict":"discard","say":"Broken","when":{"mark":"broken","is":["yes"]}}])");
    CHECK(rules.needs_looking_over());
    record::Pair pair = pair_of(lens, lens);
    CHECK(reasons_of(grading::grade(rules, pair)) == std::vector<std::string>{"not-looked-over"});
    CHECK(grading::grade(rules, pair).decision == Decision::ask);

    SECTION("looked over, all in order: kept") {
        pair.looked_over = true;
        CHECK(grading::grade(rules, pair).decision == Decision::keep);
        CHECK(grading::grade(rules, pair).reasons.empty());
    }
    SECTION("every mark that the rules need was given: kept without the key") {
        pair.marks = {{"tint", "light"}, {"broken", "no"}};
        CHECK(grading::grade(rules, pair).decision == Decision::keep);
    }
    SECTION("one of them was given: still asks") {
        pair.marks = {{"tint", "light"}};
        CHECK(reasons_of(grading::grade(rules, pair)) == std::vector<std::string>{"not-looked-over"});
    }
    SECTION("a mark that discards settles it, and no question is put") {
        pair.marks = {{"tint", "dark"}};
        CHECK(reasons_of(grading::grade(rules, pair)) == std::vector<std::string>{"tint"});
        CHECK(grading::grade(rules, pair).decision == Decision::discard);
    }
    SECTION("looked over, but a mark says otherwise: the mark counts") {
        pair.looked_over = true;
        pair.marks = {{"broken", "yes"}};
        CHECK(grading::grade(rules, pair).decision == Decision::discard);
    }
}

TEST_CASE("What is taken for granted needs no looking over") {
    const std::string rules =
        R"("rules":[{"id":"t","verdict":"discard","say":"Dark","when":{"mark":"tint","is":["dark"]}}])";
    const grading::Rules whole = rules_with(R"("take_for_granted":{"looked_over":true},)" + rules);
    CHECK_FALSE(whole.needs_looking_over());
    CHECK(grading::grade(whole, pair_of(lens, lens)).decision == Decision::keep);
    CHECK(grading::grade(whole, pair_of(lens, lens, {{"tint", "dark"}})).decision == Decision::discard);

    const grading::Rules one = rules_with(R"("take_for_granted":{"tint":"none"},)" + rules);
    CHECK_FALSE(one.needs_looking_over());
    CHECK(grading::grade(one, pair_of(lens, lens)).decision == Decision::keep);
    CHECK(grading::grade(one, pair_of(lens, lens, {{"tint", "dark"}})).decision == Decision::discard);

    CHECK_FALSE(discarding(R"({"quantity":"cylinder","over":2})").needs_looking_over());
    CHECK_FALSE(discarding(unknown).needs_looking_over());
}

TEST_CASE("Looking over does not answer for a mark that it says nothing of") {
    record::Pair pair = pair_of(lens, lens);
    pair.looked_over = true;
    CHECK(reasons_of(grading::grade(discarding(unknown), pair)) == std::vector<std::string>{"r"});
}

TEST_CASE("Half a pair asks, unless the lens that is known discards it already") {
    record::Pair half;
    half.right = lens;
    const grading::Rules rules = discarding(R"({"any":[{"quantity":"cylinder","over":2},
                                                       {"quantity":"difference_any_meridian","over":1}]})");
    CHECK(reasons_of(grading::grade(rules, half)) == std::vector<std::string>{"half-pair"});
    CHECK(reasons_of(grading::grade(rules, record::Pair{})) == std::vector<std::string>{"half-pair"});
    half.right = measured(-1, -4.5, 90);
    CHECK(reasons_of(grading::grade(rules, half)) == std::vector<std::string>{"r"});
    CHECK(reasons_of(grading::grade(discarding(R"({"quantity":"cylinder","lens":"both","over":2})"), half)) ==
          std::vector<std::string>{"half-pair"});
    CHECK(reasons_of(grading::grade(discarding(R"({"quantity":"cylinder","lens":"both","over":5})"), half)) ==
          std::vector<std::string>{"half-pair"});
}
