// ISO 21987:2017 FROM MEMORY. These tests hold the tables to what was remembered, not to the standard; two
// cells are read elsewhere. What they do insist on is that nothing in the host rests on them.
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <optional>
#include <sstream>
#include <string>

#include "host/optics/from_memory_iso_21987.hpp"
#include "host/optics/tolerances.hpp"
#include "tests/trees.hpp"

namespace fs = std::filesystem;
namespace memory = pairmark::optics::from_memory;
using pairmark::optics::AnsiZ80;
using pairmark::optics::Dioptre;

namespace {

Dioptre dioptres(double value) {
    return Dioptre::nearest(value);
}

}  // namespace

TEST_CASE("Tolerance, ISO 21987, from memory: on each principal meridian") {
    struct Row {
        const char* id;
        double strongest, tolerance;
    };
    for (const Row& row : {Row{"I2", 0.00, 0.12}, Row{"I2", 3.00, 0.12}, Row{"I2", 6.00, 0.12},
                           Row{"I2", 9.00, 0.12}, Row{"I3", 9.25, 0.18}, Row{"I3", 12.00, 0.18},
                           Row{"I3", 12.25, 0.25}, Row{"I3", 20.00, 0.25}, Row{"I3", 20.25, 0.37}}) {
        CAPTURE(row.id, row.strongest);
        CHECK(memory::meridian_tolerance(dioptres(-row.strongest)) == dioptres(row.tolerance));
    }
}

TEST_CASE("Tolerance, ISO 21987, from memory: on the cylinder") {
    struct Row {
        const char* id;
        double strongest;
        double low, middle, high, highest;  // of a cylinder of 0.75, 4.00, 6.00 and more
    };
    for (const Row& row :
         {Row{"I4", 3.00, 0.09, 0.12, 0.18, 0.25}, Row{"I5", 6.00, 0.12, 0.12, 0.18, 0.25},
          Row{"I5", 9.00, 0.12, 0.18, 0.18, 0.25}, Row{"I5", 12.00, 0.12, 0.18, 0.25, 0.25},
          Row{"I5", 20.00, 0.18, 0.25, 0.25, 0.25}, Row{"I5", 21.00, 0.25, 0.25, 0.37, 0.37}}) {
        CAPTURE(row.id, row.strongest);
        const Dioptre strongest = dioptres(-row.strongest);
        CHECK(memory::cylinder_tolerance(strongest, dioptres(-0.75)) == dioptres(row.low));
        CHECK(memory::cylinder_tolerance(strongest, dioptres(-1.00)) == dioptres(row.middle));
        CHECK(memory::cylinder_tolerance(strongest, dioptres(-4.00)) == dioptres(row.middle));
        CHECK(memory::cylinder_tolerance(strongest, dioptres(-4.25)) == dioptres(row.high));
        CHECK(memory::cylinder_tolerance(strongest, dioptres(-6.00)) == dioptres(row.high));
        CHECK(memory::cylinder_tolerance(strongest, dioptres(-6.25)) == dioptres(row.highest));
    }
}

TEST_CASE("Tolerance, ISO 21987, from memory: two cells are read in other standards") {
    // I6, GB 10810.1 (smilingsouls.net/zh/wage_264371) and GB 10810-1996, not equivalent to ISO 8980-1:1996
    // (max.book118.com 7624052): plano has 0.12 D and 0.09 D, 10.00 DS 0.18 D and 0.12 D.
    CHECK(memory::meridian_tolerance(Dioptre{}) == dioptres(0.12));
    CHECK(memory::cylinder_tolerance(Dioptre{}, Dioptre{}) == dioptres(0.09));
    const Dioptre ten = dioptres(10.00);
    CHECK(is_within(memory::meridian_tolerance(ten), dioptres(9.82), ten));
    CHECK(is_within(memory::meridian_tolerance(ten), dioptres(10.18), ten));
    CHECK_FALSE(is_within(memory::meridian_tolerance(ten), dioptres(9.81), ten));
    CHECK_FALSE(is_within(memory::meridian_tolerance(ten), dioptres(10.19), ten));
    CHECK(memory::cylinder_tolerance(ten, Dioptre{}) == dioptres(0.12));
}

TEST_CASE("Tolerance, ISO 21987, from memory: on the axis, wider than that of ANSI Z80.1") {
    // I7; A5 beside it.
    struct Row {
        double cylinder, degrees;
    };
    for (const Row& row :
         {Row{0.25, 16}, Row{0.50, 9}, Row{0.75, 6}, Row{1.50, 4}, Row{2.50, 3}, Row{2.75, 2}}) {
        CAPTURE(row.cylinder);
        CHECK(memory::axis_tolerance_degrees(dioptres(-row.cylinder)) == row.degrees);
        CHECK(row.degrees >=
              pairmark::optics::axis_tolerance_degrees(AnsiZ80::edition_2015, dioptres(-row.cylinder)));
    }
    CHECK(memory::axis_tolerance_degrees(dioptres(-0.125)) == std::nullopt);
    CHECK(memory::axis_tolerance_degrees(dioptres(-0.13)) == 16);
}

TEST_CASE("Tolerance, ISO 21987, from memory: nothing in the host, the firmware or the demo uses it") {
    const std::string name = "from_memory";
    int seen = 0;
    for (const char* part : {"host", "firmware", "protocol", "demo"}) {
        for (const auto& entry : fs::recursive_directory_iterator(pairmark::tests::in_source_tree(part))) {
            const std::string extension = entry.path().extension().string();
            if (extension != ".cpp" && extension != ".hpp" && extension != ".h") continue;
            if (entry.path().filename().string().starts_with(name)) continue;
            std::ostringstream text;
            text << std::ifstream(entry.path()).rdbuf();
            CAPTURE(entry.path().string());
            CHECK(text.str().find(name) == std::string::npos);
            ++seen;
        }
    }
    CHECK(seen > 100);
}
