// How often a busy day writes each byte of the memory, and how many years that makes.
#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>
#include <sstream>

#include "tests/faults/day_trial.hpp"
#include "tests/faults/host_model.hpp"
#include "tests/faults/trial_instrument.hpp"
#include "tests/trees.hpp"

namespace pairmark::sim {
namespace {

constexpr unsigned readings_a_day = 600;
/// Write and erase cycles that a cell is promised to bear (data sheet, "Features"; from memory).
constexpr unsigned cycles_a_cell_bears = 100'000;
constexpr uint64_t ms = clock_hz / 1000;

}  // namespace

TEST_CASE("a day of 600 readings writes no byte more often than the page on survival says") {
    const std::string image = tests::in_build_tree("firmware/pairmark-adapter.elf");
    Board board(image);
    board.eeprom().load(used_memory(image));
    HostModel host(board, trial_profile());
    board.power_on();
    REQUIRE(board.run_until([&] { return host.greeted() && host.profile_in_force(); }, 9000 * ms));
    board.run_for(500 * ms);
    for (unsigned i = 0; i < readings_a_day; ++i) {
        for (const char byte : trial_capture(i % 48))
            board.instrument_port().feed(static_cast<uint8_t>(byte));
        REQUIRE(board.run_until([&] { return host.readings().size() == i + 1; }, 3000 * ms));
        board.run_for(250 * ms);
    }
    uint32_t most = 0;
    uint64_t all = 0;
    for (uint16_t at = 0; at < eeprom_size; ++at) {
        most = std::max(most, board.eeprom().worn(at));
        all += board.eeprom().worn(at);
    }
    const double years = cycles_a_cell_bears / (most * 365.0);
    WARN("most often written byte: " << most << " times a day; " << all << " writes in all; " << years
                                     << " years of such days");
    std::ifstream page(tests::in_source_tree("docs/survival.md"));
    std::stringstream text;
    text << page.rdbuf();
    CHECK_THAT(text.str(), Catch::Contains(std::to_string(most) + " times a day: " +
                                           std::to_string(std::lround(std::floor(years))) + " years"));
}

}  // namespace pairmark::sim
