// How each slip ends, over many made pairs: caught before a label, found by measuring the pair again, or
// never. The table in docs/safety.md is what this prints.
#include <catch2/catch.hpp>
#include <cstdio>
#include <fstream>
#include <sstream>

#include "host/grading/rules.hpp"
#include "host/optics/compare.hpp"
#include "tests/slips/slips.hpp"
#include "tests/trees.hpp"

using namespace pairmark;
using namespace pairmark::slips;

namespace {

constexpr int tries = 500;
constexpr std::size_t pairs_a_try = 6;

/// Of the pairs that had a part in the slip.
struct Ends {
    int no_label = 0;  // caught: asked about, refused, or no lamp came on
    int right = 0;     // the label is as it should be all the same
    int recheck =
        0;          // wrong, and measuring the pair again, well, shows it: more than 0.25 D in some meridian
    int never = 0;  // wrong by a step at most: no second measurement would show it
    int told = 0;   // of all: the bench said something, or asked
};

bool same(const Power& a, const Power& b) {
    return a == b;
}

bool shows(const Power& label, const Power& again) {
    return optics::is_over(optics::difference_in_any_meridian(label, again), 0.25);
}

void judge(const BenchDay& day, const std::vector<Spectacles>& pairs, Ends& ends) {
    bool wrong = false;
    bool shown_again = false;
    bool missing = false;
    bool told = false;
    for (std::size_t at = 0; at < pairs.size(); ++at) {
        told = told || day.was_told(at);
        const auto label = day.labels().find(at);
        if (label == day.labels().end()) {
            missing = true;
            continue;
        }
        const Power right = shown(pairs[at].right);
        const Power left = shown(pairs[at].left);
        wrong = wrong || !same(label->second.right, right) || !same(label->second.left, left);
        shown_again = shown_again || shows(label->second.right, right) || shows(label->second.left, left);
    }
    ends.told += told ? 1 : 0;
    (shown_again ? ends.recheck : wrong ? ends.never : missing ? ends.no_label : ends.right) += 1;
}

/// Pairs that the rules keep when they are measured well, so that each one without a label is the slip's
/// doing.
std::vector<Spectacles> kept_spectacles(Chance& chance, const grading::Rules& rules) {
    std::vector<Spectacles> pairs;
    while (pairs.size() < pairs_a_try) {
        const Spectacles one = any_spectacles(chance);
        record::Pair pair;
        pair.right = record::MeasuredLens{{Eye::right, shown(one.right), {}, {}}, 1, optics::label_step};
        pair.left = record::MeasuredLens{{Eye::left, shown(one.left), {}, {}}, 2, optics::label_step};
        if (grading::grade_at_bench(rules, pair).decision == record::Decision::keep) pairs.push_back(one);
    }
    return pairs;
}

Ends ends_of(const Slip& slip) {
    const grading::Rules rules = grading::parse_rules(grading::default_rules_text());
    Ends ends;
    for (int seed = 1; seed <= tries; ++seed) {
        Chance chance(static_cast<std::uint64_t>(seed));
        const std::vector<Spectacles> pairs = kept_spectacles(chance, rules);
        BenchDay day(grading::default_rules_text());
        slip.make(day, pairs, chance);
        judge(day, pairs, ends);
    }
    return ends;
}

std::string row_of(const Slip& slip, const Ends& ends) {
    const auto cell = [](int count) { return " | " + std::to_string(count); };
    return "| " + std::string(slip.name) + cell(ends.no_label) + cell(ends.right) + cell(ends.recheck) +
           cell(ends.never) + " |";
}

std::string safety_page() {
    std::ifstream in(pairmark::tests::in_source_tree("docs/safety.md"), std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

}  // namespace

TEST_CASE("Well measured, every pair of the trial gets its own label") {
    const Slip none{"none", true, [](BenchDay& day, const std::vector<Spectacles>& pairs, Chance&) {
                        for (std::size_t at = 0; at < pairs.size(); ++at)
                            measure_well(day, pairs, at);
                    }};
    const Ends ends = ends_of(none);
    CHECK(ends.right == tries);
    CHECK(ends.told == 0);
}

TEST_CASE(
    "A stuck eye key, an uncleared instrument, an empty stop and eighths for quarters never make a wrong "
    "label") {
    for (const Slip& slip : all_slips()) {
        if (!slip.never_on_a_label) continue;
        CAPTURE(slip.name);
        const Ends ends = ends_of(slip);
        CHECK(ends.recheck == 0);
        CHECK(ends.never == 0);
        // Nothing is lost in silence either: where a label is missing, somebody was told.
        CHECK(ends.told >= ends.no_label);
    }
}

TEST_CASE(
    "What cannot be caught is seen to be wrong by the trial, and stands in docs/safety.md with its habit") {
    const std::string page = safety_page();
    for (const Slip& slip : all_slips()) {
        if (slip.never_on_a_label) continue;
        CAPTURE(slip.name);
        const Ends ends = ends_of(slip);
        CHECK(ends.recheck + ends.never > 0);
    }
    for (const char* slip : {"back to front", "tilted", "right and left exchanged by hand",
                             "measured in its corridor", "a label on the wrong envelope", "a smear",
                             "set to eighths", "two pairs mixed", "left before right"})
        CHECK_THAT(page, Catch::Contains(slip));
}

TEST_CASE("The table in docs/safety.md is what the trial finds") {
    const std::string page = safety_page();
    std::string table;
    for (const Slip& slip : all_slips())
        table += row_of(slip, ends_of(slip)) + "\n";
    for (std::istringstream rows(table); std::getline(rows, table);) {
        CAPTURE(table);
        CHECK(page.find(table + "\n") != std::string::npos);
    }
}
