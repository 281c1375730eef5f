// Power cuts at the adapter. PAIRMARK_CUT=first.second.seed replays one cut; PAIRMARK_LONG=1 tries 20,000.
#include <catch2/catch.hpp>
#include <cstdlib>
#include <string>

#include "tests/faults/power_cut_trial.hpp"
#include "tests/trees.hpp"

namespace pairmark::sim {
namespace {

uint64_t cuts_to_try() {
    const char* wish = std::getenv("PAIRMARK_LONG");
    return wish != nullptr && std::string(wish) == "1" ? 20'000 : 300;
}

/// The real image.
const std::string image = tests::in_build_tree("firmware/pairmark-adapter.elf");

}  // namespace

TEST_CASE("whatever a power cut hits, every accepted reading reaches the host exactly once") {
    const EepromBytes adapter = prepared_adapter(image);
    const Outcome whole = run_trial(image, adapter, Cut{});
    REQUIRE(whole.broken == "");
    REQUIRE(whole.again == 0);
    if (const char* id = std::getenv("PAIRMARK_CUT")) {
        const auto cut = cut_of(id);
        REQUIRE(cut);
        CHECK(run_trial(image, adapter, *cut).broken == "");
        return;
    }
    const uint64_t count = cuts_to_try();
    uint64_t torn = 0;
    for (uint64_t index = 0; index < count; ++index) {
        const Cut cut = cut_in_series(index, count, whole.cycles);
        const Outcome outcome = run_trial(image, adapter, cut);
        torn += outcome.torn;
        INFO("replay with PAIRMARK_CUT=" << id_of(cut));
        CHECK(outcome.broken == "");
    }
    // A series that hardly ever tears a byte would prove little.
    CHECK(torn > count / 4);
}

TEST_CASE("the same holds where every new record overwrites an old one") {
    constexpr unsigned slots = 45;  // SPEC.md, "EEPROM"
    const EepromBytes adapter = prepared_adapter(image, slots);
    const Outcome whole = run_trial(image, adapter, Cut{});
    REQUIRE(whole.broken == "");
    const uint64_t count = cuts_to_try() / 3;
    uint64_t torn = 0;
    for (uint64_t index = 0; index < count; ++index) {
        const Cut cut = cut_in_series(index, count, whole.cycles);
        const Outcome outcome = run_trial(image, adapter, cut);
        torn += outcome.torn;
        INFO("cut " << id_of(cut));
        CHECK(outcome.broken == "");
    }
    CHECK(torn > count / 4);
}

TEST_CASE("a cut's id says everything about it") {
    const Cut cut{123456789, 42, 7};
    CHECK(id_of(cut) == "123456789.42.7");
    const auto again = cut_of(id_of(cut));
    REQUIRE(again);
    CHECK(again->first == cut.first);
    CHECK(again->second == cut.second);
    CHECK(again->seed == cut.seed);
    for (const char* wrong : {"", "1", "1.2", "1.2.x", "1.2.3.4", "1.2.3 "})
        CHECK_FALSE(cut_of(wrong));
}

TEST_CASE("the same cut ends the same way") {
    const EepromBytes adapter = prepared_adapter(image);
    const Cut cut{9'000'000, 3'000'000, 5};
    const Outcome a = run_trial(image, adapter, cut);
    const Outcome b = run_trial(image, adapter, cut);
    CHECK(a.cycles == b.cycles);
    CHECK(a.torn == b.torn);
    CHECK(a.broken == b.broken);
}

}  // namespace pairmark::sim
