// That the trials would notice: a host that does one thing wrong fails them.
#include <catch2/catch.hpp>

#include "tests/steps/kill_trial.hpp"

namespace pairmark::steps {
namespace {

/// What the trial says of a host that goes wrong in this way; stops at the first word.
std::string noticed(Wrong wrong, WayOut way_out = WayOut::folder) {
    const LoggedSession session = read_logged("ordinary");
    const Undisturbed right = undisturbed(session, Wrong::none, way_out);
    const Undisturbed lived = undisturbed(session, wrong, way_out);
    if (!lived.faults.empty()) return lived.faults.front();
    if (const std::string what = difference(right.outcome, lived.outcome); !what.empty()) return what;
    for (const Blows& blows : blows_of_each_kind(lived.history, 4))
        if (const std::string what = try_blows(session, right, blows, wrong, way_out); !what.empty())
            return what;
    return {};
}

}  // namespace

TEST_CASE("an acknowledgement before the commit is noticed") {
    CHECK_THAT(noticed(Wrong::acknowledges_first), Catch::Contains("events are there"));
}

TEST_CASE("a label's file that has its name before its bytes is noticed") {
    CHECK_THAT(noticed(Wrong::prints_in_place), Catch::Contains("printed and not there"));
}

TEST_CASE("a label's file that has its name before its bytes are flushed is noticed") {
    CHECK_THAT(noticed(Wrong::prints_unflushed), Catch::Contains("before its bytes were flushed"));
}

TEST_CASE("a label that is said to be printed and is not there is noticed") {
    CHECK_THAT(noticed(Wrong::says_printed), Catch::Contains("printed and not there"));
}

TEST_CASE("a sheet that comes out before it is durable that it may is noticed") {
    CHECK_THAT(noticed(Wrong::does_not_ask, WayOut::paper), Catch::Contains("came out twice"));
}

}  // namespace pairmark::steps
