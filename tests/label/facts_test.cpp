#include "host/label/facts.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <limits>
#include <string>

#include "host/label/refused.hpp"
#include "host/label/render.hpp"
#include "tests/label/facts_for_tests.hpp"

namespace {

using namespace pairmark::label_tests;
using pairmark::label::check_facts;
using pairmark::label::LabelRefused;
using pairmark::label::render_label;
using pairmark::record::LabelFacts;

constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double infinity = std::numeric_limits<double>::infinity();

struct Spoilt {
    const char* how;
    const char* where;
    std::function<void(LabelFacts&)> spoil;
};

void add(LabelFacts& facts, int right, int left, const char* kind) {
    facts.right_addition = hundredths(right);
    facts.left_addition = hundredths(left);
    facts.addition_kind = kind;
}

void set_right(LabelFacts& facts, const pairmark::optics::Power& power) {
    facts.right = power;
    facts.right_equivalent = power.sphere.value() + power.cylinder.value() / 2;
}

const Spoilt spoilt[] = {
    {"plus cylinder", "right lens", [](LabelFacts& f) { set_right(f, lens(-125, 50, 85)); }},
    {"sphere off the quarters", "right lens", [](LabelFacts& f) { set_right(f, lens(-112, -50, 85)); }},
    {"cylinder off the quarters", "right lens", [](LabelFacts& f) { set_right(f, lens(-125, -60, 85)); }},
    {"axis 0 with a cylinder", "right lens", [](LabelFacts& f) { f.right.axis = 0; }},
    {"axis 181", "right lens", [](LabelFacts& f) { f.right.axis = 181; }},
    {"axis 84.5", "right lens", [](LabelFacts& f) { f.right.axis = 84.5; }},
    {"axis not a number", "right lens", [](LabelFacts& f) { f.right.axis = nan; }},
    {"axis without a cylinder", "left lens", [](LabelFacts& f) { f.left.axis = 90; }},
    {"axis not a number without a cylinder", "left lens", [](LabelFacts& f) { f.left.axis = nan; }},
    {"sphere beyond 60", "right lens", [](LabelFacts& f) { set_right(f, lens(6025, -50, 85)); }},
    {"wrong equivalent", "right lens", [](LabelFacts& f) { f.right_equivalent += 0.125; }},
    {"wrong left equivalent", "left lens", [](LabelFacts& f) { f.left_equivalent = 0; }},
    {"equivalent not a number", "left lens", [](LabelFacts& f) { f.left_equivalent = nan; }},
    {"equivalent infinite", "left lens", [](LabelFacts& f) { f.left_equivalent = infinity; }},
    {"addition of one eye", "addition",
     [](LabelFacts& f) { add(f, 200, 200, "segment"), f.left_addition.reset(); }},
    {"addition of the other", "addition",
     [](LabelFacts& f) { add(f, 200, 200, "segment"), f.right_addition.reset(); }},
    {"addition without kind", "addition", [](LabelFacts& f) { add(f, 200, 200, ""); }},
    {"addition of unknown kind", "addition", [](LabelFacts& f) { add(f, 200, 200, "Segment"); }},
    {"kind without addition", "addition", [](LabelFacts& f) { f.addition_kind = "segment"; }},
    {"addition of nothing", "addition", [](LabelFacts& f) { add(f, 0, 200, "segment"); }},
    {"negative addition", "addition", [](LabelFacts& f) { add(f, 200, -200, "segment"); }},
    {"addition off the quarters", "addition", [](LabelFacts& f) { add(f, 212, 200, "segment"); }},
    {"addition beyond 8", "addition", [](LabelFacts& f) { add(f, 825, 200, "segment"); }},
    {"centres too near", "centre distance", [](LabelFacts& f) { f.centres_mm = 9.9; }},
    {"centres too far", "centre distance", [](LabelFacts& f) { f.centres_mm = 120.1; }},
    {"centres not a number", "centre distance", [](LabelFacts& f) { f.centres_mm = nan; }},
    {"no number", "number", [](LabelFacts& f) { f.number.clear(); }},
    {"wrong check character", "number",
     [](LabelFacts& f) { f.number.back() = f.number.back() == 'A' ? 'B' : 'A'; }},
    {"no date", "date", [](LabelFacts& f) { f.date.clear(); }},
    {"a day that is not", "date", [](LabelFacts& f) { f.date = "2026-02-29"; }},
    {"month 13", "date", [](LabelFacts& f) { f.date = "2026-13-01"; }},
    {"day first", "date", [](LabelFacts& f) { f.date = "24-11-2026"; }},
    {"date with a time", "date", [](LabelFacts& f) { f.date = "2026-11-24T"; }},
    {"date with letters", "date", [](LabelFacts& f) { f.date = "2026-1a-24"; }},
    {"no place", "place", [](LabelFacts& f) { f.place.clear(); }},
    {"place of a blank", "place", [](LabelFacts& f) { f.place = std::string(1, ' '); }},
    {"place with a blank behind", "place", [](LabelFacts& f) { f.place += ' '; }},
    {"place of two lines", "place", [](LabelFacts& f) { f.place = "BOX\n12"; }},
    {"place without glyphs", "place", [](LabelFacts& f) { f.place = "箱 12"; }},
    {"programme without glyphs", "programme name", [](LabelFacts& f) { f.programme = "眼鏡"; }},
    {"programme not UTF-8", "programme name", [](LabelFacts& f) { f.programme = "Hillside\xFF"; }},
    {"unknown way of measuring the addition", "addition",
     [](LabelFacts& f) { add(f, 200, 200, "segment"), f.addition_by = "side"; }},
    {"way of measuring without addition", "addition", [](LabelFacts& f) { f.addition_by = "back"; }},
    {"single vision with an addition", "addition",
     [](LabelFacts& f) { add(f, 200, 200, "segment"), f.single_vision = true; }},
    {"extra line without glyphs", "extra line", [](LabelFacts& f) { f.extra = "眼鏡"; }},
    {"extra line of two", "extra line", [](LabelFacts& f) { f.extra = "one\ntwo"; }},
    {"unknown wearer", "frame", [](LabelFacts& f) { f.wearer = "dog"; }},
    {"unknown style", "frame", [](LabelFacts& f) { f.style = "nice"; }},
    {"unknown rim", "frame", [](LabelFacts& f) { f.rim = "half"; }},
    {"frame size of a word", "frame", [](LabelFacts& f) { f.frame_size = "XL"; }},
    {"negative copy", "copy", [](LabelFacts& f) { f.copy = -1; }},
    {"copy 100", "copy", [](LabelFacts& f) { f.copy = 100; }},
};

}  // namespace

TEST_CASE(
    "facts that contradict themselves or cannot be drawn make no label, and the place of the fault is "
    "named") {
    for (const Spoilt& row : spoilt) {
        CAPTURE(row.how);
        LabelFacts facts = usual_facts();
        row.spoil(facts);
        try {
            (void)render_label(facts);
            FAIL("a label was made");
        } catch (const LabelRefused& refused) {
            CHECK(refused.where() == row.where);
            CHECK_FALSE(refused.next_step().empty());
            CHECK_THAT(refused.what(), Catch::StartsWith("label refused: " + std::string(row.where) + ": "));
        }
    }
}

TEST_CASE("whole facts pass") {
    CHECK_NOTHROW(check_facts(usual_facts()));
    CHECK_NOTHROW(check_facts(fullest_facts()));
    LabelFacts bare = usual_facts();
    bare.programme.clear();
    bare.centres_mm.reset();
    bare.date = "2028-02-29";
    CHECK_NOTHROW(check_facts(bare));
}
