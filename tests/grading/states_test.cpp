// How the measuring stood, in rules; and what is known of additions that no instrument reported.
#include <catch2/catch.hpp>

#include "host/grading/state.hpp"
#include "tests/grading/pairs.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using record::Decision;
using record::InstrumentCheck;

namespace {

record::Pair checked(InstrumentCheck right, InstrumentCheck left) {
    record::Pair pair = pair_of(measured(-1), measured(-1));
    pair.right->check = right;
    pair.left->check = left;
    return pair;
}

Decision decide(const std::string& condition, const record::Pair& pair, const std::string& granted = "{}") {
    return grading::grade(discarding(condition, granted), pair).decision;
}

}  // namespace

TEST_CASE("The instrument's check counts by the worse of the two lenses") {
    const auto state = [](InstrumentCheck right, InstrumentCheck left) {
        return grading::state_of(checked(right, left), "instrument_check");
    };
    CHECK(state(InstrumentCheck::passed, InstrumentCheck::passed) == "passed");
    CHECK(state(InstrumentCheck::passed, InstrumentCheck::due) == "due");
    CHECK(state(InstrumentCheck::failed, InstrumentCheck::due) == "failed");
    CHECK(state(InstrumentCheck::due, InstrumentCheck::failed) == "failed");
    const char* condition = R"({"state":"instrument_check","is":["due","failed"]})";
    CHECK(decide(condition, checked(InstrumentCheck::passed, InstrumentCheck::passed)) == Decision::keep);
    CHECK(decide(condition, checked(InstrumentCheck::passed, InstrumentCheck::due)) == Decision::discard);
    const record::Verdict verdict =
        grading::grade(discarding(condition), checked(InstrumentCheck::failed, InstrumentCheck::due));
    REQUIRE(verdict.reasons.size() == 1);
    CHECK(verdict.reasons[0].value == "failed");
    CHECK(verdict.reasons[0].limit == "due, failed");
}

TEST_CASE("Typed powers can be told from an instrument's") {
    record::Pair pair = pair_of(measured(-1), measured(-1));
    const char* condition = R"({"state":"source","is":["typed"]})";
    CHECK(decide(condition, pair) == Decision::keep);
    pair.left->typed = true;
    CHECK(decide(condition, pair) == Decision::discard);
}

TEST_CASE("Every state has the values that it can take, and no other") {
    record::Pair pair = pair_of(measured(-1), measured(-1));
    for (const bool first : {false, true}) {
        pair.power_varies = first;
        pair.right->typed = first;
        pair.right->check = first ? InstrumentCheck::failed : InstrumentCheck::passed;
        for (const grading::StateWord& word : grading::state_words()) {
            CAPTURE(word.name);
            CHECK(std::count(word.values.begin(), word.values.end(), grading::state_of(pair, word.name)) ==
                  1);
        }
    }
    CHECK(grading::state_of(record::Pair{}, "instrument_check").empty());
    CHECK(grading::state_of(pair, "mood").empty());
}

TEST_CASE("A lens that has an addition for sure is not taken to have none") {
    const char* condition = R"({"quantity":"addition","over":0})";
    const char* granted = R"({"addition":0})";
    record::Pair pair = pair_of(measured(-1), measured(-1));
    CHECK(decide(condition, pair, granted) == Decision::keep);
    pair.marks["lens_type"] = "progressive";
    CHECK(decide(condition, pair, granted) == Decision::ask);
    pair.marks["lens_type"] = "single";
    CHECK(decide(condition, pair) == Decision::keep);
    CHECK(decide(condition, pair_of(measured(-1), measured(-1)), R"({"lens_type":"single"})") ==
          Decision::keep);
    pair.marks.clear();
    pair.power_varies = true;
    CHECK(decide(condition, pair, granted) == Decision::ask);
    CHECK(decide(condition, pair, R"({"lens_type":"single"})") == Decision::ask);
    pair.right->reading.addition = optics::Dioptre::hundredths(200);
    CHECK(decide(condition, pair, granted) == Decision::discard);
}

TEST_CASE("Two additions differ by what their labels say, or as measured") {
    const record::Pair pair = pair_of(measured(-1, 0, 0, 2.0), measured(-1, 0, 0, 2.38));
    CHECK(decide(R"({"quantity":"difference_addition","over":0.40})", pair) == Decision::discard);
    CHECK(decide(R"({"quantity":"difference_addition","over":0.50})", pair) == Decision::keep);
    CHECK(decide(R"({"quantity":"difference_addition","over":0.40,"measured":true})", pair) ==
          Decision::keep);
    CHECK(decide(R"({"quantity":"difference_addition","over":0})",
                 pair_of(measured(-1, 0, 0, 2.0), measured(-1))) == Decision::ask);
}
