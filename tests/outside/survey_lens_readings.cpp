// Open data with lens-meter readings of real pairs of glasses: NHANES 1999-2006 (National Center for Health
// Statistics, CDC), vision examination files VIX, VIX_B, VIX_C, VIX_D;
// https://wwwn.cdc.gov/Nchs/Nhanes/2005-2006/VIX_D.XPT and its sisters. For statistics only; no row of it is
// part of this project. Expected counts: computed independently of this project from the published files, on
// the values transposed to minus cylinder, unrounded, of the 8,053 complete rows.
#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

#include "host/grading/rules.hpp"
#include "host/optics/rounding.hpp"
#include "tests/trees.hpp"

using namespace pairmark;

namespace {

/// Right sphere, cylinder, axis, left sphere, cylinder, axis, as recorded.
using Row = std::array<double, 6>;

std::optional<Row> complete_row(const std::string& line) {
    std::istringstream cells(line);
    std::string cell;
    std::getline(cells, cell, ',');  // cycle
    std::getline(cells, cell, ',');  // person
    Row row{};
    for (double& number : row) {
        cell.clear();
        std::getline(cells, cell, ',');
        if (!cell.empty() && cell.back() == '\r') cell.pop_back();
        if (cell.empty()) return std::nullopt;
        number = std::stod(cell);
    }
    return row;
}

/// Nothing, with a warning that says where the data is published, if it is not here.
std::vector<Row> survey() {
    std::vector<Row> rows;
    const char* folder = std::getenv("PAIRMARK_NHANES_DIR");
    std::ifstream in(std::string(folder != nullptr ? folder : "") + "/lens-readings.csv");
    if (folder == nullptr || !in) {
        WARN(
            "skipped: PAIRMARK_NHANES_DIR does not point to lens-readings.csv. Make it from the NHANES "
            "vision examination "
            "files, https://wwwn.cdc.gov/Nchs/Nhanes/2005-2006/VIX_D.XPT and those of 1999 to 2004");
        return rows;
    }
    std::string line;
    std::getline(in, line);
    while (std::getline(in, line)) {
        if (const auto row = complete_row(line)) rows.push_back(*row);
    }
    return rows;
}

record::MeasuredLens lens(double sphere, double cylinder, double axis) {
    record::MeasuredLens measured;
    measured.reading.power = {optics::Dioptre::nearest(sphere), optics::Dioptre::nearest(cylinder), axis};
    return measured;
}

record::Pair pair_of(const Row& row) {
    record::Pair pair;
    pair.state = record::PairState::complete;
    pair.right = lens(row[0], row[1], row[2]);
    pair.left = lens(row[3], row[4], row[5]);
    return pair;
}

/// How many of the rows a condition, said as a rule, picks out.
int picked_by(const std::string& condition, const std::vector<Row>& rows) {
    const grading::Rules rules = grading::parse_rules(
        R"({"name":"Count","date":"2026-01-01","rules":[{"id":"r","verdict":"discard","say":"Counted","when":)" +
        condition + "}]}");
    int count = 0;
    for (const Row& row : rows) {
        if (grading::grade(rules, pair_of(row)).decision == record::Decision::discard) ++count;
    }
    return count;
}

// The second way to the same counts: whole hundredths, both lenses by hand, nothing of the project's own
// optics. In plus cylinder, as recorded, the minus form's sphere is sphere + cylinder, and its cylinder as
// strong.
struct Hundredths {
    long sphere;    // of the minus form
    long cylinder;  // its strength
    long twice_equivalent;
};

Hundredths by_hand(double sphere, double cylinder) {
    const long s = std::lround(sphere * 100);
    const long c = std::lround(cylinder * 100);
    return {c > 0 ? s + c : s, std::labs(c), 2 * s + c};
}

template <typename Test>
int counted_by_hand(const std::vector<Row>& rows, Test test) {
    int count = 0;
    for (const Row& row : rows) {
        if (test(by_hand(row[0], row[1]), by_hand(row[3], row[4]))) ++count;
    }
    return count;
}

}  // namespace

TEST_CASE(
    "The survey's counts come out exactly, by rules and by hand (NHANES 1999-2006 vision examination)") {
    const std::vector<Row> rows = survey();
    if (rows.empty()) return;
    REQUIRE(rows.size() == 8053);

    struct Count {
        const char* condition;
        int expected;
        bool (*by_hand)(const Hundredths&, const Hundredths&);
    };
    const Count counts[] = {
        {R"({"quantity":"cylinder","lens":"both","at_most":0.75,"measured":true})", 4319,
         [](const Hundredths& r, const Hundredths& l) { return r.cylinder <= 75 && l.cylinder <= 75; }},
        {R"({"quantity":"cylinder","lens":"both","at_most":1,"measured":true})", 5220,
         [](const Hundredths& r, const Hundredths& l) { return r.cylinder <= 100 && l.cylinder <= 100; }},
        {R"({"not":{"quantity":"cylinder","lens":"either","over":2,"measured":true}})", 7126,
         [](const Hundredths& r, const Hundredths& l) { return r.cylinder <= 200 && l.cylinder <= 200; }},
        {R"({"quantity":"difference_sphere","at_most":0.5,"measured":true})", 5692,
         [](const Hundredths& r, const Hundredths& l) { return std::labs(r.sphere - l.sphere) <= 50; }},
        {R"({"quantity":"difference_sphere","at_most":1,"measured":true})", 6993,
         [](const Hundredths& r, const Hundredths& l) { return std::labs(r.sphere - l.sphere) <= 100; }},
        {R"({"quantity":"difference_spherical_equivalent","at_most":0.5,"measured":true})", 5618,
         [](const Hundredths& r, const Hundredths& l) {
             return std::labs(r.twice_equivalent - l.twice_equivalent) <= 100;
         }},
        {R"({"quantity":"difference_spherical_equivalent","at_most":1,"measured":true})", 7004,
         [](const Hundredths& r, const Hundredths& l) {
             return std::labs(r.twice_equivalent - l.twice_equivalent) <= 200;
         }},
        {R"({"all":[{"quantity":"cylinder","lens":"both","at_most":2,"measured":true},
                    {"quantity":"difference_spherical_equivalent","at_most":1,"measured":true}]})",
         6316,
         [](const Hundredths& r, const Hundredths& l) {
             return r.cylinder <= 200 && l.cylinder <= 200 &&
                    std::labs(r.twice_equivalent - l.twice_equivalent) <= 200;
         }},
    };
    for (const Count& count : counts) {
        CAPTURE(count.condition);
        CHECK(picked_by(count.condition, rows) == count.expected);
        CHECK(counted_by_hand(rows, count.by_hand) == count.expected);
    }
}

TEST_CASE("46 of the survey's pairs stand off the 0.25 D grid (NHANES 1999-2006 vision examination)") {
    const std::vector<Row> rows = survey();
    if (rows.empty()) return;
    int off = 0;
    int off_by_hand = 0;
    for (const Row& row : rows) {
        const record::Pair pair = pair_of(row);
        if (!optics::is_on_grid(pair.right->reading.power) || !optics::is_on_grid(pair.left->reading.power))
            ++off;
        bool on_grid = true;
        for (const std::size_t at : {0U, 1U, 3U, 4U}) {
            on_grid = on_grid && std::lround(row[at] * 100) % 25 == 0;
        }
        if (!on_grid) ++off_by_hand;
    }
    CHECK(off == 46);
    CHECK(off_by_hand == 46);
}

TEST_CASE(
    "The example programme keeps between a fifth and nearly all of the survey's pairs, and gives a reason "
    "for the rest") {
    const std::vector<Row> rows = survey();
    if (rows.empty()) return;
    const grading::Rules rules = grading::parse_rules(grading::default_rules_text());
    std::size_t kept = 0;
    std::size_t asked = 0;
    for (const Row& row : rows) {
        const record::Verdict verdict = grading::grade(rules, pair_of(row));
        kept += verdict.decision == record::Decision::keep ? 1 : 0;
        asked += verdict.decision == record::Decision::ask ? 1 : 0;
        if (verdict.decision != record::Decision::keep) CHECK_FALSE(verdict.reasons.empty());
        CHECK(optics::is_on_grid(verdict.right));
        CHECK(optics::is_on_grid(verdict.left));
    }
    CAPTURE(kept, asked);
    CHECK(kept * 100 >= rows.size() * 20);
    CHECK(kept * 100 <= rows.size() * 98);
    CHECK(asked > 0);
}

namespace {

struct Yield {
    int keep = 0;
    int discard = 0;
    int ask = 0;
};

Yield yield_of(const grading::Rules& rules, const std::vector<Row>& rows) {
    Yield yield;
    for (const Row& row : rows) {
        const record::Decision decision = grading::grade_at_bench(rules, pair_of(row)).decision;
        (decision == record::Decision::keep      ? yield.keep
         : decision == record::Decision::discard ? yield.discard
                                                 : yield.ask) += 1;
    }
    return yield;
}

std::string text_of(const std::string& file) {
    std::ifstream in(pairmark::tests::in_source_tree(file), std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

}  // namespace

TEST_CASE("What each example programme keeps of the survey's pairs is what docs/rules.md says") {
    const std::vector<Row> rows = survey();
    if (rows.empty()) return;
    const std::string page = text_of("docs/rules.md");
    for (const char* file : {"host/grading/default.rules.json", "docs/programmes/narrow.rules.json",
                             "docs/programmes/bifocals.rules.json"}) {
        const grading::Rules rules = grading::parse_rules(text_of(file));
        const Yield yield = yield_of(rules, rows);
        CHECK(yield.keep + yield.discard + yield.ask == 8053);
        const std::string row = "| " + rules.name + " | " + std::to_string(yield.keep) + " | " +
                                std::to_string(yield.discard) + " | " + std::to_string(yield.ask) + " |";
        CAPTURE(row);
        CHECK(page.find(row) != std::string::npos);
    }
}

// The narrow programme's limits once more, by whole hundredths of the label's lenses and without the
// project's optics: what is kept has quarters, so twice the equivalent is a whole number.
TEST_CASE(
    "The narrow programme keeps of the survey what its published thresholds say, counted by hand (IAPB)") {
    const std::vector<Row> rows = survey();
    if (rows.empty()) return;
    const grading::Rules rules = grading::parse_rules(text_of("docs/programmes/narrow.rules.json"));
    for (const Row& row : rows) {
        const record::Verdict verdict = grading::grade(rules, pair_of(row));
        const auto twice_equivalent = [](const optics::Power& lens) {
            return 2 * std::lround(lens.sphere.value() * 100) + std::lround(lens.cylinder.value() * 100);
        };
        const auto strongest = [](const optics::Power& lens) {
            const long sphere = std::lround(lens.sphere.value() * 100);
            return std::max(std::labs(sphere), std::labs(sphere + std::lround(lens.cylinder.value() * 100)));
        };
        const auto within = [&](const optics::Power& lens) {
            return std::lround(lens.cylinder.value() * 100) >= -75 &&
                   std::labs(twice_equivalent(lens)) <= 700;
        };
        const long apart = std::labs(twice_equivalent(verdict.right) - twice_equivalent(verdict.left));
        const bool keeps = within(verdict.right) && within(verdict.left) && apart < 200 &&
                           std::max(strongest(verdict.right), strongest(verdict.left)) >= 50;
        CAPTURE(row);
        CHECK((verdict.decision == record::Decision::keep) == keeps);
    }
}
