// Every rule beside a pair, with what was seen.
#include "host/grading/explain.hpp"

#include <catch2/catch.hpp>

#include "host/grading/typical_pairs.hpp"
#include "tests/grading/pairs.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using grading::Explained;
using grading::Truth;

namespace {

optics::Power sphere(int hundredths) {
    return {optics::Dioptre::hundredths(hundredths), {}, 0};
}

}  // namespace

TEST_CASE("An explained rule says what it saw, of the lens that settled it") {
    const grading::Rules rules = discarding(R"({"quantity": "cylinder", "lens": "either", "over": 2})");
    const record::Pair pair = pair_of(measured(1, -0.5, 90), measured(1, -2.25, 90));
    const auto explained = grading::explain(rules, pair);
    REQUIRE(explained.size() == 1);
    CHECK(explained[0].rule == &rules.rules[0]);
    CHECK(explained[0].when.truth == Truth::yes);
    CHECK(grading::seen_in_words(explained[0].when) == "2.25 D");
}

TEST_CASE("An explained mark says where its value comes from, or that nobody knows it") {
    const grading::Rules rules = rules_with(R"("take_for_granted": {"pads": "moulded"}, "rules": [
        {"id": "a", "verdict": "ask", "say": "s", "when": {"mark": "tint", "is": ["dark"]}},
        {"id": "b", "verdict": "ask", "say": "s", "when": {"mark": "pads", "is": ["missing"]}},
        {"id": "c", "verdict": "ask", "say": "s", "when": {"mark": "child", "is": ["yes"]}},
        {"id": "d", "verdict": "ask", "say": "s", "when": {"mark": "rim", "is": ["none"]}}])");
    record::Pair pair = pair_of(measured(1), measured(1), {{"tint", "dark"}});
    pair.looked_over = true;
    const auto explained = grading::explain(rules, pair);
    CHECK(grading::seen_in_words(explained[0].when) == "dark, given");
    CHECK(grading::seen_in_words(explained[1].when) == "moulded, taken for granted");
    CHECK(grading::seen_in_words(explained[2].when) == "no, looked over");
    CHECK(grading::seen_in_words(explained[3].when).empty());
    CHECK(explained[3].when.truth == Truth::unknown);
    CHECK(explained[3].when.from == Explained::From::nobody);
}

TEST_CASE("Parts of a joined condition are explained each") {
    const grading::Rules rules = example_rules();
    const auto explained = grading::explain(rules, pair_of(measured(0), measured(-1)));
    const auto found = std::find_if(explained.begin(), explained.end(),
                                    [](const auto& one) { return one.rule->id == "one-lens-without-power"; });
    REQUIRE(found != explained.end());
    CHECK(found->when.truth == Truth::unknown);
    REQUIRE(found->when.parts.size() == 3);
    CHECK(found->when.parts[0].truth == Truth::yes);
    CHECK(grading::seen_in_words(found->when.parts[0]) == "0.00 D");
    CHECK(found->when.parts[1].truth == Truth::yes);
    CHECK(found->when.parts[1].parts[0].truth == Truth::no);
    CHECK(grading::seen_in_words(found->when.parts[1].parts[0]) == "1.00 D");
    CHECK(found->when.parts[2].truth == Truth::unknown);
}

TEST_CASE("Explained truths are those that the verdict was made of") {
    const grading::Rules rules = example_rules();
    for (const int right : {-1200, -400, -100, 0, 25, 900})
        for (const int left : {-1200, -425, -225, 0, 100, 900}) {
            const record::Pair pair = grading::typical_pair(sphere(right), sphere(left));
            std::vector<std::string> hold;
            for (const auto& one : grading::explain(rules, pair))
                if (one.when.truth == Truth::yes) hold.push_back(one.rule->id);
            std::vector<std::string> reasons;
            for (const record::Reason& reason : grading::grade(rules, pair).reasons)
                if (std::any_of(rules.rules.begin(), rules.rules.end(),
                                [&](const grading::Rule& rule) {
                                    return rule.id == reason.rule && rule.say == reason.say;
                                }) &&
                    std::find(hold.begin(), hold.end(), reason.rule) != hold.end())
                    reasons.push_back(reason.rule);
            std::sort(hold.begin(), hold.end());
            std::sort(reasons.begin(), reasons.end());
            CAPTURE(right, left);
            CHECK(hold == reasons);
        }
}

TEST_CASE("A typical pair is kept by the example programme, and its marks are of the vocabulary") {
    const record::Pair pair = grading::typical_pair(sphere(-200), sphere(-200));
    CHECK(grading::grade(example_rules(), pair).decision == record::Decision::keep);
    for (const auto& [name, value] : pair.marks)
        CHECK(record::fault_in_mark(name, value) == std::nullopt);
    CHECK_FALSE(grading::typical_pair(sphere(-200), sphere(-200), {{"rim", "cord"}}).marks.contains("rim"));
}
