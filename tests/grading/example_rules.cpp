// The example programme decides as its page says (common practice, no published source).
#include <catch2/catch.hpp>
#include <fstream>
#include <sstream>

#include "tests/grading/pairs.hpp"
#include "tests/trees.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using record::Decision;

namespace {

struct Row {
    const char* legend;
    record::Pair pair;
    Decision decision;
    const char* tray;
    std::vector<std::string> reasons;
};

}  // namespace

TEST_CASE("The example programme judges a table of pairs (common practice, no published source)") {
    const grading::Rules rules = example_rules();
    const std::vector<Row> rows{
        {"a plain pair", pair_of(measured(-1.25, -0.50, 85), measured(-1.00)), Decision::keep, "stock", {}},
        {"cylinder at the limit",
         pair_of(measured(1, -2, 90), measured(1, -2, 90)),
         Decision::keep,
         "stock",
         {}},
        {"cylinder over it",
         pair_of(measured(1, -2.25, 90), measured(1, -2.25, 90)),
         Decision::discard,
         "discard",
         {"strong-cylinder"}},
        {"at both ends of the range",
         pair_of(measured(-9.5, -0.5, 9), measured(-10)),
         Decision::keep,
         "stock",
         {}},
        {"too minus in one meridian",
         pair_of(measured(-9.5, -0.75, 9), measured(-10)),
         Decision::discard,
         "discard",
         {"too-minus"}},
        {"plus limit", pair_of(measured(8), measured(8)), Decision::keep, "stock", {}},
        {"too plus, found in plus cylinder",
         pair_of(measured(7.5, 0.75, 10), measured(8)),
         Decision::discard,
         "discard",
         {"too-plus"}},
        {"0.50 in one lens is enough", pair_of(measured(0.25), measured(0.50)), Decision::keep, "stock", {}},
        {"0.50 in one meridian is enough",
         pair_of(measured(0.25, -0.75, 5), measured(0.25)),
         Decision::keep,
         "stock",
         {}},
        {"no useful power",
         pair_of(measured(0.25), measured(-0.25)),
         Decision::discard,
         "discard",
         {"no-useful-power"}},
        {"both without power",
         pair_of(measured(0), measured(0)),
         Decision::discard,
         "discard",
         {"no-useful-power"}},
        {"one without power",
         pair_of(measured(0), measured(0.75)),
         Decision::ask,
         "ask",
         {"one-lens-without-power"}},
        {"one without power on purpose",
         pair_of(measured(0.75), measured(0), {{"plano", "yes"}}),
         Decision::keep,
         "stock",
         {}},
        {"equivalents at the limit", pair_of(measured(1), measured(2)), Decision::keep, "stock", {}},
        {"any meridian over, equivalents alike",
         pair_of(measured(0.875, -1.75, 45), measured(0.875, -1.75, 135)),
         Decision::discard,
         "discard",
         {"unlike-in-a-meridian"}},
        {"vertically over 1.00 only",
         pair_of(measured(1, -1.25, 180), measured(1, -1.25, 90)),
         Decision::ask,
         "ask",
         {"unlike-vertically"}},
        {"an addition",
         pair_of(measured(1, 0, 0, 2), measured(1, 0, 0, 2)),
         Decision::discard,
         "additions",
         {"addition"}},
        {"an addition reported as none",
         pair_of(measured(1, 0, 0, 0), measured(1, 0, 0, 0)),
         Decision::keep,
         "stock",
         {}},
        {"broken",
         pair_of(measured(1), measured(1), {{"broken", "yes"}}),
         Decision::discard,
         "discard",
         {"broken"}},
        {"scratched in the middle",
         pair_of(measured(1), measured(1), {{"scratches", "central"}}),
         Decision::discard,
         "discard",
         {"central-scratches"}},
        {"scratched outside",
         pair_of(measured(1), measured(1), {{"scratches", "outside"}}),
         Decision::keep,
         "stock",
         {}},
        {"dark",
         pair_of(measured(1), measured(1), {{"tint", "dark"}}),
         Decision::discard,
         "discard",
         {"dark-tint"}},
        {"a child's",
         pair_of(measured(1), measured(1), {{"child", "yes"}}),
         Decision::keep,
         "child",
         {"child-frame"}},
        {"gold", pair_of(measured(1), measured(1), {{"gold", "yes"}}), Decision::keep, "gold", {}},
        {"gold and broken",
         pair_of(measured(1), measured(1), {{"gold", "yes"}, {"broken", "yes"}}),
         Decision::discard,
         "gold",
         {"broken"}},
    };
    for (const Row& row : rows) {
        CAPTURE(row.legend);
        const record::Verdict verdict = grading::grade(rules, row.pair);
        CHECK(verdict.decision == row.decision);
        CHECK(verdict.tray == row.tray);
        CHECK(reasons_of(verdict) == row.reasons);
    }
}

TEST_CASE(
    "At the bench one lens without power asks before the pair is refused as unlike, and grade takes the "
    "numbers "
    "as they are") {
    const grading::Rules rules = example_rules();
    using Reasons = std::vector<std::string>;
    const struct {
        record::Pair pair;
        Decision at_bench;
        Decision by_numbers;
        Reasons reasons;
    } rows[] = {
        {pair_of(measured(0), measured(-4.25, -0.5, 170)), Decision::ask, Decision::discard,
         Reasons{"nothing-on-the-stop", "unlike-vertically", "unlike-in-a-meridian", "unlike-equivalents"}},
        {pair_of(measured(0), measured(0.75)), Decision::ask, Decision::ask, Reasons{"nothing-on-the-stop"}},
        {pair_of(measured(0), measured(-4.25, -0.5, 170), {{"plano", "yes"}}), Decision::discard,
         Decision::discard, Reasons{"unlike-in-a-meridian", "unlike-equivalents", "unlike-vertically"}},
        // Refused whatever the other lens is.
        {pair_of(measured(-12), measured(0)), Decision::discard, Decision::discard,
         Reasons{"too-minus", "unlike-in-a-meridian", "unlike-equivalents", "unlike-vertically"}},
        {pair_of(measured(-2), measured(0), {{"broken", "yes"}}), Decision::discard, Decision::discard,
         Reasons{"broken", "unlike-in-a-meridian", "unlike-equivalents", "unlike-vertically"}},
        {pair_of(measured(0), measured(0)), Decision::discard, Decision::discard, Reasons{"no-useful-power"}},
    };
    for (const auto& row : rows) {
        const record::Verdict verdict = grading::grade_at_bench(rules, row.pair);
        CHECK(verdict.decision == row.at_bench);
        CHECK(reasons_of(verdict) == row.reasons);
        CHECK(grading::grade(rules, row.pair).decision == row.by_numbers);
    }
}

TEST_CASE("The example programme takes looking over for granted, and its hash text is its file") {
    const grading::Rules rules = example_rules();
    CHECK_FALSE(rules.needs_looking_over());
    std::ifstream file(pairmark::tests::in_source_tree("host/grading/default.rules.json"), std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    CHECK(text.str() == grading::default_rules_text());
    CHECK(rules.hash_text == text.str());
}
