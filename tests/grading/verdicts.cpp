// From reasons to one verdict and one tray.
#include <catch2/catch.hpp>
#include <utility>

#include "tests/grading/pairs.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using record::Decision;

namespace {

const grading::Rules three =
    rules_with(R"("trays":{"keep":"K","discard":"D","ask":"A"}, "gold_tray":"G", "rules":[
    {"id":"keeps","verdict":"keep","tray":"child","say":"Small","when":{"quantity":"strongest_power","lens":"both","at_least":1}},
    {"id":"asks","verdict":"ask","say":"Sure?","when":{"quantity":"strongest_power","lens":"both","at_least":2}},
    {"id":"discards","verdict":"discard","say":"No","when":{"quantity":"strongest_power","lens":"both","at_least":3}},
    {"id":"discards-too","verdict":"discard","tray":"repair","say":"No","when":{"quantity":"strongest_power","lens":"both","at_least":4}}])");

record::Verdict of(double power, record::Marks marks = {}) {
    return grading::grade(three, pair_of(measured(power), measured(power), std::move(marks)));
}

}  // namespace

TEST_CASE(
    "The strongest verdict counts, and all reasons are given, strongest first, each strength in the rules' "
    "order") {
    CHECK(of(0.5).decision == Decision::keep);
    CHECK(reasons_of(of(0.5)).empty());
    CHECK(of(1).decision == Decision::keep);
    CHECK(reasons_of(of(1)) == std::vector<std::string>{"keeps"});
    CHECK(of(2).decision == Decision::ask);
    CHECK(reasons_of(of(2)) == std::vector<std::string>{"asks", "keeps"});
    CHECK(of(3).decision == Decision::discard);
    CHECK(reasons_of(of(3)) == std::vector<std::string>{"discards", "asks", "keeps"});
    CHECK(reasons_of(of(4)) == std::vector<std::string>{"discards", "discards-too", "asks", "keeps"});
    const record::Verdict verdict = of(4);
    const std::vector<Decision> decisions{Decision::discard, Decision::discard, Decision::ask,
                                          Decision::keep};
    for (std::size_t i = 0; i < decisions.size(); ++i) {
        CHECK(verdict.reasons[i].decision == decisions[i]);
    }
}

TEST_CASE("The tray is the first that a deciding rule names, else the verdict's own") {
    CHECK(of(0.5).tray == "K");
    CHECK(of(1).tray == "child");
    CHECK(of(2).tray == "A");
    CHECK(of(3).tray == "D");
    CHECK(of(4).tray == "repair");
}

TEST_CASE("Gold-coloured frames go to their tray whatever the verdict, and keep their verdict") {
    for (const double power : {0.5, 1.0, 2.0, 3.0, 4.0}) {
        CAPTURE(power);
        CHECK(of(power, {{"gold", "yes"}}).tray == "G");
        CHECK(of(power, {{"gold", "yes"}}).decision == of(power).decision);
        CHECK(of(power, {{"gold", "no"}}).tray == of(power).tray);
    }
}

TEST_CASE("The pair's own questions ask by their ids, beside what the rules say") {
    record::Pair pair = pair_of(measured(1), measured(1));
    pair.questions = {{"second-reading-differs", "The same lens again?", {"same", "other"}}};
    record::Verdict verdict = grading::grade(three, pair);
    CHECK(verdict.decision == Decision::ask);
    CHECK(verdict.tray == "A");
    CHECK(reasons_of(verdict) == std::vector<std::string>{"second-reading-differs", "keeps"});
    CHECK(verdict.reasons[0].say == "The same lens again?");
    pair.right = pair.left = measured(3);
    CHECK(grading::grade(three, pair).decision == Decision::discard);
}

TEST_CASE("A pair that a person turned down is discarded with the person's reason") {
    record::Pair pair = pair_of(measured(0.5), measured(0.5));
    pair.turned_down_because = "smells of smoke";
    CHECK(grading::grade(three, pair).decision == Decision::discard);
    CHECK(grading::grade(three, pair).reasons.at(0).rule == "turned-down");
    CHECK(grading::grade(three, pair).reasons.at(0).say == "smells of smoke");
    pair.turned_down_because = "";
    CHECK_FALSE(grading::grade(three, pair).reasons.at(0).say.empty());
}

TEST_CASE(
    "At the bench one lens without power asks under any rules, names its eye, and is answered by the mark or "
    "by the "
    "programme") {
    record::Pair pair = pair_of(measured(0.1, 0, 0), measured(3));
    const record::Verdict asks = grading::grade_at_bench(three, pair);
    CHECK(asks.decision == Decision::ask);
    CHECK(asks.tray == "A");
    CHECK(asks.reasons.at(0).rule == "nothing-on-the-stop");
    CHECK_THAT(asks.reasons.at(0).say, Catch::Contains("The right lens"));
    std::swap(pair.right, pair.left);
    CHECK_THAT(grading::grade_at_bench(three, pair).reasons.at(0).say, Catch::Contains("The left lens"));
    grading::Rules granted = three;
    granted.granted_marks["plano"] = "yes";
    CHECK(grading::grade_at_bench(granted, pair).decision == Decision::keep);
    pair.marks["plano"] = "no";
    CHECK(grading::grade_at_bench(granted, pair).decision == Decision::ask);
    pair.marks["plano"] = "yes";
    CHECK(grading::grade_at_bench(three, pair).decision == Decision::keep);
    pair.marks.clear();
    pair.turned_down_because = "bent";
    CHECK(grading::grade_at_bench(three, pair).decision == Decision::discard);
}

TEST_CASE("Lateness is not grading's business") {
    record::Pair pair = pair_of(measured(1), measured(1));
    pair.late = true;
    CHECK(grading::grade(three, pair).decision == Decision::keep);
}

TEST_CASE("A value is given to what it takes to be told from its limit") {
    struct Row {
        double sphere, limit;
        const char* value;
        const char* shown_limit;
    };
    for (const Row& row : {Row{-2.25, 1, "2.25", "1.00"}, Row{2.625, 0.5, "2.625", "0.50"},
                           Row{1.000001, 1, "1.000001", "1.00"}, Row{3, 0, "3.00", "0.00"}}) {
        CAPTURE(row.sphere, row.limit);
        const grading::Rules rules = discarding(R"({"quantity":"strongest_power","measured":true,"over":)" +
                                                std::to_string(row.limit) + "}");
        const record::Verdict verdict = grading::grade(rules, pair_of(measured(row.sphere), measured(0)));
        REQUIRE(verdict.reasons.size() == 1);
        CHECK(verdict.reasons[0].value == row.value);
        CHECK(verdict.reasons[0].limit == row.shown_limit);
    }
}

TEST_CASE("The reason of a mark tells the mark's value and the values that the rule looks for") {
    const grading::Rules rules = discarding(R"({"mark":"tint","is":["dark","changing"]})");
    const record::Verdict verdict =
        grading::grade(rules, pair_of(measured(1), measured(1), {{"tint", "changing"}}));
    REQUIRE(verdict.reasons.size() == 1);
    CHECK(verdict.reasons[0].value == "changing");
    CHECK(verdict.reasons[0].limit == "dark, changing");
    CHECK_FALSE(verdict.reasons[0].value_is_number);
}
