// Power cuts at the adapter. PAIRMARK_LONG=1 tries 20,000 of them; PAIRMARK_CUT=blank:ID or used:ID plays one
// again.
#include <catch2/catch.hpp>
#include <cstdlib>
#include <string>

#include "tests/faults/day_trial.hpp"
#include "tests/trees.hpp"

namespace pairmark::sim {
namespace {

/// Of each of the two days.
uint64_t cuts_to_try() {
    const char* wish = std::getenv("PAIRMARK_LONG");
    return wish != nullptr && std::string(wish) == "1" ? 10'000 : 150;
}

std::string adapter_image() {
    return tests::in_build_tree("firmware/pairmark-adapter.elf");
}

/// What PAIRMARK_CUT names of this day; empty if nothing.
std::string wished_cut(const std::string& day) {
    const char* wish = std::getenv("PAIRMARK_CUT");
    const std::string text = wish == nullptr ? "" : wish;
    return text.rfind(day + ":", 0) == 0 ? text.substr(day.size() + 1) : "";
}

void try_day(const std::string& name, Memory memory) {
    if (const std::string id = wished_cut(name); !id.empty()) {
        const auto cut = cut_of(id);
        REQUIRE(cut);
        CHECK(replay_cut(adapter_image(), memory, *cut).broken == "");
        return;
    }
    const Series series = try_cuts(adapter_image(), memory, cuts_to_try());
    REQUIRE(series.whole.broken == "");
    CHECK(series.whole.again == 0);
    CHECK(series.readings == 31);
    for (const Broken& one : series.broken) {
        INFO("play it again with PAIRMARK_CUT=" << name << ":" << one.id);
        CHECK(one.what == "");
    }
    CHECK(series.tried == cuts_to_try());
    // A series that hardly ever tears a byte, or never costs the volunteer anything, would prove little.
    CHECK(series.torn > series.tried / 2);
    CHECK(series.again > series.tried / 10);
    WARN(name << " day: " << series.writes << " writes, " << series.milliseconds << " ms, " << series.readings
              << " readings; " << series.tried << " cuts, " << series.torn << " bytes torn, " << series.again
              << " repeated, " << series.broken.size() << " broken");
}

}  // namespace

TEST_CASE(
    "wherever the power goes on an adapter's first day, each accepted reading is held once and has one "
    "place") {
    try_day("blank", Memory::blank);
}

TEST_CASE("the same holds where every new record overwrites an old one") {
    try_day("used", Memory::used);
}

TEST_CASE("a cut's id says everything about it") {
    const Cut cut{Cut::At::write, 123456789, 42, 7, 9};
    CHECK(id_of(cut) == "w123456789.42.7.9");
    const auto again = cut_of(id_of(cut));
    REQUIRE(again);
    CHECK(id_of(*again) == id_of(cut));
    for (const char* wrong :
         {"", "w1", "w1.2.3", "1.2.3.4", "x1.2.3.4", "w1.2.3.x", "w1.2.3.4.5", "m1.2.3.4 "})
        CHECK_FALSE(cut_of(wrong));
}

TEST_CASE("a series goes through all writes in turn, as often as its length allows") {
    constexpr uint64_t writes = 50;
    std::vector<unsigned> turns(writes + 1);
    for (const Cut& cut : cut_series(500, writes, 1000))
        if (cut.at == Cut::At::write) ++turns.at(cut.index);
    CHECK(turns[0] == 0);
    for (uint64_t i = 1; i <= writes; ++i)
        CHECK(turns[i] == 6);
}

TEST_CASE("a cut that is played again ends as it did in the series") {
    const Cut cut{Cut::At::write, 900, 20'000, 3'000'000, 7};
    const Promise a = replay_cut(adapter_image(), Memory::blank, cut);
    const Promise b = replay_cut(adapter_image(), Memory::blank, cut);
    CHECK(a.torn == b.torn);
    CHECK(a.again == b.again);
    CHECK(a.broken == b.broken);
    CHECK(a.torn > 0);
}

}  // namespace pairmark::sim
