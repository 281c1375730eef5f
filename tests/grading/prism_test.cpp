// Prism in rules: reported or not, comparable or not, and what it may never do alone.
#include <catch2/catch.hpp>

#include "tests/grading/pairs.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using record::Decision;

namespace {

record::MeasuredLens with_prism(double in, double up, bool one_table = true) {
    record::MeasuredLens lens = measured(-2);
    lens.reading.prism = record::Prism{optics::Dioptre::nearest(in), optics::Dioptre::nearest(up)};
    lens.one_table = one_table;
    return lens;
}

Decision decide(const std::string& condition, const record::Pair& pair, const std::string& granted = "{}") {
    return grading::grade(discarding(condition, granted), pair).decision;
}

std::string mistake_in(const std::string& verdict, const std::string& condition) {
    try {
        (void)rules_with(R"("rules":[{"id":"r","say":"No","verdict":")" + verdict + R"(","when":)" +
                         condition + "}]");
    } catch (const grading::BadRules& bad) {
        return bad.mistakes.at(0).place + ": " + bad.mistakes.at(0).say;
    }
    return {};
}

}  // namespace

TEST_CASE("Prism is compared without its base, and exactly at its limit") {
    const record::Pair pair = pair_of(with_prism(0, -0.50), with_prism(0, 0.25));
    CHECK(decide(R"({"quantity":"prism_vertical","over":0.25})", pair) == Decision::discard);
    CHECK(decide(R"({"quantity":"prism_vertical","over":0.50})", pair) == Decision::keep);
    CHECK(decide(R"({"quantity":"prism_vertical","at_least":0.50})", pair) == Decision::discard);
    CHECK(decide(R"({"quantity":"prism_vertical","lens":"both","over":0.25})", pair) == Decision::keep);
}

TEST_CASE("Prism that was not reported is unknown, and asks, and taken for granted it is none") {
    const record::Pair pair = pair_of(measured(-2), measured(-2));
    const char* condition = R"({"quantity":"prism_vertical","over":0.50})";
    CHECK(decide(condition, pair) == Decision::ask);
    CHECK(decide(condition, pair, R"({"prism":0})") == Decision::keep);
    CHECK(decide(condition, pair_of(with_prism(0, 1), measured(-2)), R"({"prism":0})") == Decision::discard);
}

TEST_CASE("Vertical prisms differ by their bases, up counted as plus, where one table held both lenses") {
    const char* condition = R"({"quantity":"difference_prism_vertical","over":0.50})";
    CHECK(decide(condition, pair_of(with_prism(0, 0.50), with_prism(0, -0.25))) == Decision::discard);
    CHECK(decide(condition, pair_of(with_prism(0, 0.50), with_prism(0, 1.00))) == Decision::keep);
    const record::Pair lifted = pair_of(with_prism(0, 0.50, false), with_prism(0, -0.25));
    CHECK(decide(condition, lifted) == Decision::ask);
    CHECK(decide(condition, lifted, R"({"prism":0})") == Decision::keep);
    CHECK(decide(condition, pair_of(with_prism(0, 1), measured(-2))) == Decision::ask);
}

TEST_CASE(
    "The imbalance at reading is the vertical difference of the powers times the depth (Prentice's rule)") {
    // McCarthy, "Back to basics in dispensing 8: Anisometropia": +2.00/-1.75x180 and +2.75/-1.00x135 have
    // +0.25 and +2.25 D vertically; 10 mm below the centres that makes 2.0.
    const record::Pair pair = pair_of(measured(2, -1.75, 180), measured(2.75, -1, 135));
    const char* over = R"({"quantity":"imbalance_at_reading","over":1.99})";
    const char* at = R"({"quantity":"imbalance_at_reading","over":2})";
    CHECK(decide(over, pair) == Decision::discard);
    CHECK(decide(at, pair) == Decision::keep);
    const auto at_depth = [&pair](const char* depth, const char* limit) {
        return grading::grade(rules_with(std::string(R"("reading_depth":)") + depth +
                                         R"(,"rules":[{"id":"r","verdict":"discard","say":"No","when":)"
                                         R"({"quantity":"imbalance_at_reading","at_least":)" +
                                         limit + "}}]"),
                              pair)
            .decision;
    };
    CHECK(at_depth("8", "1.6") == Decision::discard);
    CHECK(at_depth("8", "1.61") == Decision::keep);
}

TEST_CASE("Horizontal prism alone never discards") {
    const std::string prism = R"({"quantity":"prism_horizontal","over":1})";
    const std::string near = R"({"quantity":"centre_distance","under":58})";
    const std::string mark = R"({"mark":"child","is":["yes"]})";
    const auto all = [](const std::string& a, const std::string& b) {
        return R"({"all":[)" + a + "," + b + "]}";
    };
    const auto any = [](const std::string& a, const std::string& b) {
        return R"({"any":[)" + a + "," + b + "]}";
    };
    const auto no = [](const std::string& a) { return R"({"not":)" + a + "}"; };
    for (const std::string& condition :
         {prism, any(prism, near), all(prism, mark), no(all(no(prism), near)), any(all(prism, near), prism),
          no(no(prism)), no(R"({"quantity":"prism_horizontal","at_most":1})"), all(prism, any(near, mark))}) {
        CAPTURE(condition);
        CHECK(mistake_in("discard", condition).starts_with("rules[0].when: horizontal prism alone"));
        CHECK(mistake_in("ask", condition).empty());
        CHECK(mistake_in("keep", condition).empty());
    }
    for (const std::string& condition :
         {all(prism, near), all(near, all(mark, prism)), no(any(no(prism), no(near))),
          all(any(prism, mark), near), all(prism, no(near))}) {
        CAPTURE(condition);
        CHECK(mistake_in("discard", condition).empty());
    }
    record::Pair pair = pair_of(with_prism(2, 0), with_prism(2, 0));
    CHECK(decide(all(prism, near), pair) == Decision::ask);
    pair.centres_mm = 60;
    CHECK(decide(all(prism, near), pair) == Decision::keep);
    pair.centres_mm = 57;
    CHECK(decide(all(prism, near), pair) == Decision::discard);
}

TEST_CASE("Prism is never rounded, and only none of it can be taken for granted") {
    CHECK(mistake_in("ask", R"({"quantity":"prism_vertical","over":1,"measured":true})")
              .starts_with("rules[0].when.measured: \"prism_vertical\" is never rounded"));
    CHECK_THROWS_WITH(rules_with(R"("rules":[],"take_for_granted":{"prism":1})"),
                      Catch::Contains("take_for_granted.prism: expected 0"));
    CHECK_THROWS_WITH(rules_with(R"("rules":[],"reading_depth":0)"), Catch::Contains("from 1 to 20"));
    CHECK_THROWS_WITH(rules_with(R"("rules":[],"reading_depth":"10")"),
                      Catch::Contains("reading_depth: expected"));
}
