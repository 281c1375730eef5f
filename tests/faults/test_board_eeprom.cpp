#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <set>

#include "firmware/sim/eeprom_file.hpp"
#include "tests/faults/board_bench.hpp"

namespace pairmark::sim {
namespace {

/// Starts a write of 0x3C to cell 7 and stops right after it has begun.
void begin_write(Bench& bench) {
    const uint64_t writes = bench.board.eeprom().writes();
    bench.say(std::string("W\x07\x3C", 3));
    REQUIRE(bench.board.run_until([&] { return bench.board.eeprom().writes() > writes; }, 10 * ms));
}

}  // namespace

TEST_CASE("an EEPROM byte takes 3.4 ms and reads busy until then (data sheet, EEPROM mode bits)") {
    Bench bench;
    begin_write(bench);
    const uint64_t begin = bench.board.cycle();
    CHECK(bench.board.eeprom().busy());
    REQUIRE(bench.board.run_until([&] { return !bench.board.eeprom().busy(); }, 10 * ms));
    const uint64_t took = bench.board.cycle() - begin;
    CHECK(took <= eeprom_write_cycles);
    CHECK(took > eeprom_write_cycles - 200);  // a burst's length after it began
    CHECK(bench.hear(1) == "w");
    CHECK(bench.board.eeprom().cells()[7] == 0x3C);
}

TEST_CASE("the EEPROM is as it was after the power was off and on") {
    Bench bench;
    REQUIRE(bench.ask(std::string("W\x10\x42", 3), 1) == "w");
    bench.board.power_cut();
    bench.board.run_for(1000 * ms);
    bench.board.power_on();
    bench.board.run_for(2 * ms);
    CHECK(bench.ask("R\x10", 1) == "\x42");
    CHECK(bench.ask("R\x11", 1) == "\xFF");
}

TEST_CASE(
    "a cut within a byte write tears that byte alone, and it reads differently until it is written again") {
    Bench bench;
    begin_write(bench);
    bench.board.run_for(eeprom_write_cycles / 2);
    bench.board.power_cut();
    CHECK(bench.board.eeprom().torn_writes() == 1);
    CHECK(bench.board.eeprom().is_torn(7));
    CHECK_FALSE(bench.board.eeprom().is_torn(6));
    bench.board.power_on();
    bench.board.run_for(2 * ms);
    std::set<std::string> seen;
    for (int i = 0; i < 20; ++i)
        seen.insert(bench.ask("R\x07", 1));
    CHECK(seen.size() > 1);
    for (const std::string& value : seen)  // between 0xFF, as it was, and 0x3C: wanted ones are never lost
        CHECK((static_cast<uint8_t>(value.at(0)) & 0x3C) == 0x3C);
    REQUIRE(bench.ask(std::string("W\x07\x3C", 3), 1) == "w");
    CHECK_FALSE(bench.board.eeprom().is_torn(7));
    for (int i = 0; i < 20; ++i)
        CHECK(bench.ask("R\x07", 1) == "\x3C");
}

TEST_CASE("a cut between two writes tears nothing") {
    Bench bench;
    REQUIRE(bench.ask(std::string("W\x07\x3C", 3), 1) == "w");
    bench.board.power_cut();
    CHECK(bench.board.eeprom().torn_writes() == 0);
    CHECK(bench.board.eeprom().cells()[7] == 0x3C);
}

TEST_CASE("a write that was begun before a reset is finished all the same") {
    Bench bench;
    begin_write(bench);
    bench.board.press_reset();
    CHECK(bench.board.eeprom().busy());
    bench.board.run_for(4 * ms);
    CHECK_FALSE(bench.board.eeprom().busy());
    CHECK(bench.board.eeprom().cells()[7] == 0x3C);
}

TEST_CASE("the ready interrupt comes as long as it is enabled and nothing is being written") {
    Bench bench;
    const uint64_t begin = bench.board.cycle();
    CHECK(bench.ask("I\x10", 1) == "i");
    CHECK(bench.board.cycle() - begin >= 16 * eeprom_write_cycles);
    for (uint8_t i = 0; i < 16; ++i)
        CHECK(bench.board.eeprom().cells()[i] == (i ^ 0xA5));
    CHECK(bench.ask("I\x01", 1) == "i");  // from idle again
}

TEST_CASE("the same seed tears the same way") {
    EepromBytes cells[2];
    for (EepromBytes& after : cells) {
        Bench bench;
        begin_write(bench);
        bench.board.power_cut();
        after = bench.board.eeprom().cells();
    }
    CHECK(cells[0] == cells[1]);
}

TEST_CASE("an EEPROM file is read as it was written, and one of another size is refused") {
    const auto place = std::filesystem::temp_directory_path() / "pairmark-test-eeprom";
    std::filesystem::create_directories(place);
    const std::string path = place / "cells";
    std::filesystem::remove(path);
    CHECK_FALSE(load_eeprom(path));
    EepromBytes cells;
    for (size_t i = 0; i < cells.size(); ++i)
        cells[i] = static_cast<uint8_t>(i * 7);
    save_eeprom(path, cells);
    CHECK(load_eeprom(path) == cells);
    std::ofstream(path, std::ios::app) << 'x';
    CHECK_THROWS_AS(load_eeprom(path), std::runtime_error);
    std::filesystem::resize_file(path, 4095);
    CHECK_THROWS_AS(load_eeprom(path), std::runtime_error);
    std::filesystem::remove_all(place);
}

}  // namespace pairmark::sim
