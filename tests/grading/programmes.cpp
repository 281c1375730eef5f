// The two further example programmes: the narrow one by published thresholds, and one that keeps bifocals.
#include <catch2/catch.hpp>
#include <fstream>
#include <sstream>

#include "tests/grading/pairs.hpp"
#include "tests/trees.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using record::Decision;

namespace {

grading::Rules programme(const std::string& name) {
    std::ifstream file(pairmark::tests::in_source_tree("docs/programmes/" + name + ".rules.json"),
                       std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    return grading::parse_rules(text.str());
}

struct Row {
    const char* legend;
    record::Pair pair;
    Decision decision;
    const char* tray;
    std::vector<std::string> reasons;
};

void check(const grading::Rules& rules, const std::vector<Row>& rows) {
    for (const Row& row : rows) {
        CAPTURE(row.legend);
        const record::Verdict verdict = grading::grade(rules, row.pair);
        CHECK(verdict.decision == row.decision);
        CHECK(verdict.tray == row.tray);
        CHECK(reasons_of(verdict) == row.reasons);
    }
}

record::Pair segment(double right, double left, double power = 1.5, bool side_told = true) {
    record::Pair pair =
        pair_of(measured(power, 0, 0, right), measured(power, 0, 0, left), {{"lens_type", "segment"}});
    if (side_told) pair.marks["addition_by"] = "front";
    return pair;
}

}  // namespace

// IAPB School Eye Health Guidelines, tables (iapb.org): spherical equivalents within +-3.50 D and less
// than 1.00 D apart, cylinder 0.75 D at most.
TEST_CASE("The narrow programme has the limits of the IAPB School Eye Health Guidelines") {
    check(programme("narrow"),
          {{"well inside", pair_of(measured(-1, -0.5, 90), measured(-1.25)), Decision::keep, "stock", {}},
           {"cylinder 0.75", pair_of(measured(-1, -0.75, 90), measured(-1)), Decision::keep, "stock", {}},
           {"cylinder 1.00",
            pair_of(measured(-1, -1, 90), measured(-1)),
            Decision::discard,
            "discard",
            {"cylinder"}},
           {"equivalents 0.75 apart", pair_of(measured(-1), measured(-1.75)), Decision::keep, "stock", {}},
           {"0.875 apart", pair_of(measured(-1), measured(-1.75, -0.25, 9)), Decision::keep, "stock", {}},
           {"1.00 apart",
            pair_of(measured(-1), measured(-2)),
            Decision::discard,
            "discard",
            {"equivalents-unlike"}},
           {"3.50", pair_of(measured(3.5), measured(3.5)), Decision::keep, "stock", {}},
           {"3.625",
            pair_of(measured(3.75, -0.25, 9), measured(3.5)),
            Decision::discard,
            "discard",
            {"equivalent-too-plus"}},
           {"-3.50", pair_of(measured(-3.25, -0.5, 9), measured(-3.5)), Decision::keep, "stock", {}},
           {"-3.75",
            pair_of(measured(-3.5), measured(-3.75)),
            Decision::discard,
            "discard",
            {"equivalent-too-minus"}},
           {"an addition",
            pair_of(measured(1, 0, 0, 2), measured(1, 0, 0, 2)),
            Decision::discard,
            "additions",
            {"addition"}}});
}

TEST_CASE(
    "The programme for bifocals keeps them with their additions, and asks what nobody measured (common "
    "practice, no published source)") {
    record::Pair unmeasured =
        pair_of(measured(1), measured(1), {{"lens_type", "segment"}, {"addition_by", "back"}});
    record::Pair varying = pair_of(measured(1), measured(1));
    varying.power_varies = true;
    check(programme("bifocals"),
          {{"single vision", pair_of(measured(-1), measured(-1.25)), Decision::keep, "stock", {}},
           {"a bifocal", segment(2, 2), Decision::keep, "bifocals", {"bifocals"}},
           {"plano with a segment", segment(2, 2, 0), Decision::keep, "bifocals", {"bifocals"}},
           {"not said on which side", segment(2, 2, 1.5, false), Decision::ask, "ask", {"bifocals"}},
           {"+3.00 is usual", segment(3, 3), Decision::keep, "bifocals", {"bifocals"}},
           {"beyond it is asked", segment(3.25, 3.25), Decision::ask, "ask", {"addition-strong", "bifocals"}},
           {"unlike additions", segment(2, 2.5), Decision::ask, "ask", {"additions-unlike", "bifocals"}},
           {"a segment that shows none",
            segment(0, 2),
            Decision::ask,
            "ask",
            {"addition-not-told", "additions-unlike", "bifocals"}},
           {"not measured",
            unmeasured,
            Decision::ask,
            "ask",
            {"addition-not-told", "addition-strong", "additions-unlike", "bifocals"}},
           {"a progressive",
            pair_of(measured(1, 0, 0, 2), measured(1, 0, 0, 2), {{"lens_type", "progressive"}}),
            Decision::discard,
            "additions",
            {"progressive"}},
           {"two powers and no mark",
            varying,
            Decision::ask,
            "ask",
            {"two-powers-and-no-mark", "addition-strong", "additions-unlike"}}});
}

TEST_CASE("Single vision is never called a bifocal, nor a bifocal single vision") {
    const grading::Rules rules = programme("bifocals");
    CHECK(grading::grade(rules, segment(2, 2)).tray == "bifocals");
    CHECK(grading::grade(rules, pair_of(measured(1), measured(1), {{"addition_by", "front"}})).tray ==
          "stock");
}
