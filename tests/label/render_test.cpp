#include "host/label/render.hpp"

#include <malloc.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <string>

#include "host/label/number.hpp"
#include "host/label/qr.hpp"
#include "host/label/qr_text.hpp"
#include "tests/label/facts_for_tests.hpp"

namespace {

using namespace pairmark::label_tests;
using pairmark::label::LabelRefused;
using pairmark::label::render_label;
using pairmark::record::LabelFacts;

constexpr std::size_t largest_label = 15'000;

std::string refusal_of(const LabelFacts& facts) {
    try {
        (void)render_label(facts);
    } catch (const LabelRefused& refused) {
        return refused.where();
    }
    return "no refusal";
}

std::size_t count_open_files() {
    const std::filesystem::directory_iterator files("/proc/self/fd");
    return static_cast<std::size_t>(std::distance(begin(files), end(files)));
}

}  // namespace

TEST_CASE("the same facts give the same bytes, other facts other bytes") {
    const std::string once = render_label(usual_facts());
    CHECK(once == render_label(usual_facts()));
    CHECK(once.starts_with("%PDF-"));
    LabelFacts other = usual_facts();
    other.right.axis = 86;
    CHECK(once != render_label(other));
}

TEST_CASE("a label is under 15 kB, the fullest too") {
    CHECK(render_label(usual_facts()).size() < largest_label);
    CHECK(render_label(fullest_facts()).size() < largest_label);
    LabelFacts facts = usual_facts();
    facts.programme = "Очки для всех — Ελλάδα Ñ";
    CHECK(render_label(facts).size() < largest_label);
}

TEST_CASE("every power from -20 to +20 with cylinders to -12 fits, beside any other") {
    int labels = 0;
    int step = 0;
    for (int sphere = -2000; sphere <= 2000; sphere += 25)
        for (int cylinder = 0; cylinder >= -1200; cylinder -= 25) {
            // Every thirty-first of the 7,889, so that both run through all their values.
            if (step++ % 31 != 0) continue;
            const int axis = cylinder == 0 ? 0 : 1 + step % 180;
            const auto power = lens(sphere, cylinder, axis);
            LabelFacts facts = facts_of(power, lens(-2000, -1200, 180));
            facts.place = "CABINET 4 ROW 12";
            CAPTURE(sphere, cylinder, axis);
            REQUIRE_NOTHROW(render_label(facts));
            ++labels;
        }
    CHECK(labels > 250);
}

TEST_CASE("text that does not fit is refused by name, never clipped") {
    LabelFacts facts = usual_facts();
    facts.place = std::string(40, 'W');
    CHECK(refusal_of(facts) == "place");
    facts = usual_facts();
    facts.programme = std::string(60, 'm');
    CHECK(refusal_of(facts) == "place");
    facts = usual_facts();
    facts.programme = std::string(30, 'm');
    CHECK_THAT(refusal_of(facts), Catch::Equals("place") || Catch::Equals("programme name"));
}

TEST_CASE("the longest place that fits the fullest label does, one beyond what the QR code takes does not") {
    LabelFacts facts = fullest_facts();
    facts.programme.clear();
    std::string fits;
    while (refusal_of(facts) == "no refusal") {
        fits = facts.place;
        facts.place += 'I';
    }
    CHECK(fits.size() >= 16);
    CHECK(refusal_of(facts) == "place");
}

TEST_CASE("the widest number fits") {
    LabelFacts facts = fullest_facts();
    facts.number = pairmark::label::print_number({"WWWW", "WWW", 999'999'999});
    facts.place = "BOX 12";
    CHECK(refusal_of(facts) == "no refusal");
}

TEST_CASE("rendering leaves no file open, made or refused") {
    const std::size_t before = count_open_files();
    for (int i = 0; i < 20; ++i) {
        (void)render_label(usual_facts());
        LabelFacts facts = usual_facts();
        facts.place = std::string(40, 'W');
        (void)refusal_of(facts);
    }
    CHECK(count_open_files() == before);
}

TEST_CASE("the QR code's runs are the dark modules of a square with its three finders") {
    const auto code = pairmark::label::qr_code("PM1");
    CHECK(code.side == 21);
    int finders = 0;
    for (const auto& run : code.dark) {
        REQUIRE(run.x >= 0);
        REQUIRE(run.length >= 1);
        REQUIRE(run.x + run.length <= code.side);
        REQUIRE(run.y < code.side);
        if (run.length == 7 && (run.x == 0 || run.x == 14) &&
            (run.y == 0 || run.y == 6 || run.y == 14 || run.y == 20))
            ++finders;
    }
    CHECK(finders == 6);
}

TEST_CASE("labels whose cut-down font ends at libharu's buffer's end are drawn as well") {
    // Each of these failed in libharu 2.3.0 (error 0x1033) before the font was given another size.
    for (const int counter : {25, 41, 121, 201, 1001, 1562, 2442, 4006}) {
        LabelFacts facts;
        facts.number = pairmark::label::print_number({"LQ2", "A", counter});
        facts.date = "2026-11-24";
        const std::string slot = std::to_string((counter - 1) % 40 + 1);
        facts.place =
            "Box " + std::to_string((counter - 1) / 40 + 1) + "-" + (slot.size() < 2 ? "0" + slot : slot);
        facts.programme = "Lantern Quay";
        facts.right.sphere = pairmark::optics::Dioptre::hundredths(-125);
        facts.left.sphere = pairmark::optics::Dioptre::hundredths(-100);
        facts.right_equivalent = -1.25;
        facts.left_equivalent = -1;
        CAPTURE(facts.number);
        const std::string first = render_label(facts);
        CHECK(first.size() <= largest_label);
        CHECK(first == render_label(facts));
    }
}

#if !defined(__SANITIZE_ADDRESS__)
TEST_CASE("drawing labels keeps no memory") {
    const LabelFacts facts = usual_facts();
    // The allocator's own caches count as memory in use and settle only after some hundred labels.
    for (int i = 0; i < 1000; ++i)
        (void)render_label(facts);
    const auto before = mallinfo2().uordblks;
    for (int i = 0; i < 200; ++i)
        (void)render_label(facts);
    const auto after = mallinfo2().uordblks;
    // The smallest thing that libharu ever loses (136 bytes, tests/leaks.txt) would come to over 27 kB.
    CHECK(after < before + 20'000);
}
#endif
