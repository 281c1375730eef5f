// Bad days at the bench. PAIRMARK_DAY=SEED plays one, PAIRMARK_TRACE=1 writes its story to standard error,
// PAIRMARK_DAYS=N plays so many, PAIRMARK_LONG=1 20,000.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <iostream>
#include <string>

#include "tests/days/day.hpp"

namespace pairmark::days {
namespace {

std::string wish(const char* name) {
    const char* value = std::getenv(name);
    return value == nullptr ? std::string() : std::string(value);
}

std::uint64_t days_to_play() {
    if (const std::string days = wish("PAIRMARK_DAYS"); !days.empty()) return std::stoull(days);
    return wish("PAIRMARK_LONG") == "1" ? 20'000 : 60;
}

std::string all_of(const std::vector<std::string>& sentences) {
    std::string text;
    for (const std::string& sentence : sentences)
        text += sentence + "\n";
    return text;
}

/// On how many of so many days without a protection the invariant that it serves is found broken.
unsigned found_out(Without without, const std::string& invariant, unsigned days) {
    unsigned found = 0;
    for (unsigned seed = 1; seed <= days; ++seed) {
        const std::vector<std::string> broken = play_day(seed, false, without).broken;
        found += std::any_of(broken.begin(), broken.end(),
                             [&](const std::string& say) { return say.starts_with(invariant); });
    }
    return found;
}

}  // namespace

TEST_CASE(
    "whatever goes wrong in a day, in the evening each accepted reading has one place and each kept pair one "
    "label") {
    if (const std::string day = wish("PAIRMARK_DAY"); !day.empty()) {
        const DayReport report = play_day(std::stoull(day), true);
        if (wish("PAIRMARK_TRACE") == "1") std::cerr << report.story;
        CHECK(all_of(report.broken) == "");
        return;
    }
    const std::uint64_t days = days_to_play();
    DayReport sum;
    for (std::uint64_t seed = 1; seed <= days; ++seed) {
        const DayReport report = play_day(seed);
        INFO("play it again with PAIRMARK_DAY=" << seed << ", its story with PAIRMARK_TRACE=1");
        CHECK(all_of(report.broken) == "");
        sum.readings += report.readings;
        sum.pairs += report.pairs;
        sum.numbers += report.numbers;
        sum.in_doubt += report.in_doubt;
        sum.voided += report.voided;
        sum.late += report.late;
        sum.again += report.again;
        sum.torn += report.torn;
        sum.greetings += report.greetings;
        sum.ms += report.ms;
        for (const auto& [name, times] : report.met)
            sum.met[name] += times;
    }
    std::string met;
    for (const auto& [name, times] : sum.met)
        met += ", " + name + " " + std::to_string(times);
    WARN(days << " days, " << sum.ms / 3'600'000 << " hours, " << sum.readings << " readings, " << sum.pairs
              << " pairs, " << sum.numbers << " numbers (" << sum.voided << " void, " << sum.in_doubt
              << " in doubt), " << sum.late << " late, " << sum.again << " repeated, " << sum.torn
              << " bytes torn, " << sum.greetings << " ports opened" << met);
    // Days on which nothing much happens would prove little.
    if (days < 60) return;
    CHECK(sum.met.size() == 19);
    CHECK(sum.readings > 30 * days);
    CHECK(sum.late > days);
    CHECK(sum.torn > days / 2);
    CHECK(sum.in_doubt > days / 4);
    CHECK(sum.voided > days);
    CHECK(sum.again > days);
}

TEST_CASE("a day that is played again is the same day") {
    const DayReport first = play_day(7, true);
    const DayReport second = play_day(7, true);
    CHECK_FALSE(first.story.empty());
    CHECK(first.story == second.story);
    CHECK(first.ms == second.ms);
}

TEST_CASE("a printer that prints twice is found out") {
    CHECK(found_out(Without::printing_once, "I5", 2) == 2);
}

TEST_CASE("a printer that begins without asking is found out") {
    CHECK(found_out(Without::asking_before_printing, "I5", 60) > 0);
}

TEST_CASE("an adapter that says accepted and keeps nothing is found out") {
    CHECK(found_out(Without::keeping_before_cue, "I1", 2) == 2);
}

TEST_CASE("an acknowledgement that comes before the reading is stored is found out") {
    CHECK(found_out(Without::storing_before_acknowledging, "I1", 6) > 0);
}

}  // namespace pairmark::days
