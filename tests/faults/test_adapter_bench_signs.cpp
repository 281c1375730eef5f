// What stands at the bench: every row of docs/cues.md, and the four keys, on the real image.
#include <catch2/catch.hpp>
#include <fstream>
#include <map>
#include <sstream>

#include "tests/faults/adapter_bench.hpp"
#include "tests/faults/trial_instrument.hpp"
#include "tests/trees.hpp"

namespace pairmark::sim {
namespace {

struct Row {
    unsigned place = 0;
    std::string name;
    std::string lamp;
    std::string afterwards;
    std::string tone;  // its marks; empty: none
};

/// The cells of a table's row, without the blanks at their ends; none if the line is no row.
std::vector<std::string> cells_of(const std::string& line) {
    std::vector<std::string> cells;
    if (line.rfind("| ", 0) != 0) return cells;
    std::istringstream rest(line.substr(1));
    for (std::string cell; std::getline(rest, cell, '|');) {
        const std::size_t begin = cell.find_first_not_of(' ');
        const std::size_t end = cell.find_last_not_of(' ');
        cells.push_back(begin == std::string::npos ? "" : cell.substr(begin, end - begin + 1));
    }
    return cells;
}

/// The first rhythm, drawn as "`##..`", in a cell; empty if there is none.
std::string marks_in(const std::string& cell) {
    const std::size_t begin = cell.find('`');
    const std::size_t end = begin == std::string::npos ? begin : cell.find('`', begin + 1);
    if (end == std::string::npos) return "";
    const std::string marks = cell.substr(begin + 1, end - begin - 1);
    return marks.find_first_not_of("#.") == std::string::npos ? marks : "";
}

std::vector<Row> rows_of_the_page() {
    std::ifstream page(tests::in_source_tree("docs/cues.md"));
    std::vector<Row> rows;
    for (std::string line; std::getline(page, line);) {
        const std::vector<std::string> cells = cells_of(line);
        if (cells.size() != 6 || cells[0].size() != 1 || cells[0][0] < '0' || cells[0][0] > '9') continue;
        rows.push_back({static_cast<unsigned>(cells[0][0] - '0'), cells[1], marks_in(cells[3]), cells[4],
                        marks_in(cells[5])});
    }
    return rows;
}

void press(AdapterBench& bench, std::vector<BoardKey> keys, unsigned held_ms) {
    for (const BoardKey key : keys)
        bench.board.pins().press(key, true);
    bench.pass(held_ms);
    for (const BoardKey key : keys)
        bench.board.pins().press(key, false);
    bench.pass(400);
}

/// Events that came, acknowledged: "down long" and the like.
std::vector<std::string> take_keys(AdapterBench& bench) {
    std::vector<std::string> keys;
    std::string last;
    for (Said event = bench.hear("EVENT", 1500); !event.kind.empty(); event = bench.hear("EVENT", 1500)) {
        if (event.value("n") == last) continue;  // sent again before anybody listened
        last = event.value("n");
        keys.push_back(event.value("key") + (event.value("long") == "1" ? " long" : ""));
        bench.acknowledge(event);
    }
    return keys;
}

/// Makes the adapter show that cue.
void bring_about(AdapterBench& bench, const std::string& name) {
    if (name == "accepted") {
        bench.print(trial_capture(30));
    } else if (name == "refused") {
        bench.print("nonsense\r\n");
    } else if (name == "host absent") {
        bench.pass(11'500);
    } else if (name == "memory full") {
        for (unsigned i = 0; i < 43; ++i) {
            bench.print(trial_capture(i));
            bench.pass(320);
        }
        bench.print(trial_capture(43));
    } else {
        bench.say("@CUE n=1 show=" + name);
    }
}

/// Lamp and tone in tenths of a second, from the moment at which the lamp was lit first.
struct Shown {
    std::string lamp;
    std::string tone;
    std::map<uint32_t, unsigned> pitches;
};

Shown watch(AdapterBench& bench, unsigned place, size_t tenths) {
    const auto lit = [&] { return ((bench.board.lamps() >> place) & 1) != 0; };
    REQUIRE(bench.board.run_until(lit, uint64_t{4} * clock_hz));
    bench.pass(50);
    Shown shown;
    for (size_t i = 0; i < tenths; ++i) {
        shown.lamp += lit() ? '#' : '.';
        const uint32_t hz = bench.board.tone_hz();
        shown.tone += hz != 0 ? '#' : '.';
        if (hz != 0) ++shown.pitches[hz];
        bench.pass(100);
    }
    return shown;
}

std::string lengthened(const Row& row, size_t tenths) {
    std::string lamp = row.lamp;
    while (lamp.size() < tenths)
        lamp += row.afterwards == "again and again" ? row.lamp : row.afterwards == "lit" ? "#" : ".";
    return lamp.substr(0, tenths);
}

}  // namespace

TEST_CASE("every row of the page on cues is what the chip's pins show and sound") {
    const std::vector<Row> rows = rows_of_the_page();
    REQUIRE(rows.size() == 8);
    std::map<std::string, uint32_t> pitch;
    for (const Row& row : rows) {
        CAPTURE(row.name);
        AdapterBench bench;
        REQUIRE(bench.set_up(trial_profile()));
        bench.pass(300);
        bring_about(bench, row.name);
        constexpr size_t tenths = 22;
        const Shown shown = watch(bench, row.place - 1, tenths);
        CHECK(shown.lamp == lengthened(row, tenths));
        if (row.name == "memory full") continue;  // the last reading that fitted sounds as accepted
        CHECK(shown.tone == row.tone + std::string(tenths - row.tone.size(), '.'));
        CHECK(shown.pitches.size() == (row.tone.empty() ? 0 : 1));
        if (!shown.pitches.empty()) pitch[row.name] = shown.pitches.begin()->first;
    }
    // "low", "lowest", "high" on the page.
    CHECK(pitch["refused"] < pitch["discard"]);
    for (const char* other : {"keep", "ask", "printer", "accepted"})
        CHECK(pitch["discard"] < pitch[other]);
    for (const char* other : {"keep", "ask", "printer"})
        CHECK(pitch["accepted"] > pitch[other]);
}

TEST_CASE("a verdict goes out with the next accepted reading and stays through a key and a refusal") {
    AdapterBench bench;
    REQUIRE(bench.set_up(trial_profile()));
    bench.say("@CUE n=1 show=keep");
    bench.pass(1500);
    REQUIRE(bench.board.pins().is_lit(Lamp::keep));
    press(bench, {BoardKey::go_on}, 100);
    bench.print("nonsense\r\n");
    bench.pass(1500);
    CHECK(bench.board.pins().is_lit(Lamp::keep));
    bench.print(trial_capture(30));
    bench.pass(400);
    CHECK_FALSE(bench.board.pins().is_lit(Lamp::keep));
}

TEST_CASE("a full memory refuses each further reading with the lamp and the tone, and keeps what it has") {
    AdapterBench bench;
    REQUIRE(bench.set_up(trial_profile()));
    bring_about(bench, "memory full");
    bench.pass(1000);
    bench.take_all();
    REQUIRE(bench.greet());  // the computer was silent for so long that it counts as absent
    REQUIRE(bench.status("free") == 0);
    bench.print(trial_capture(46));
    const Shown shown = watch(bench, static_cast<unsigned>(Lamp::refused), 12);
    CHECK(shown.lamp == "#.#.#.#.#.#.");
    CHECK(shown.tone == "##.##.##....");
    CHECK(bench.status("wait") == 44);
    bench.pass(1000);
    press(bench, {BoardKey::undo}, 100);
    CHECK(bench.board.run_until([&] { return bench.board.pins().is_lit(Lamp::refused); }, clock_hz / 2));
    CHECK(bench.status("wait") == 44);
}

TEST_CASE("each key of the board is an event of its own, short on release and long after one second") {
    struct KeyRow {
        BoardKey key;
        unsigned held_ms;
        const char* told;
    };
    const KeyRow rows[] = {{BoardKey::go_on, 100, "go"},
                           {BoardKey::turn_down, 100, "down"},
                           {BoardKey::undo, 100, "undo"},
                           {BoardKey::set_aside, 100, "aside"},
                           {BoardKey::go_on, 900, "go"},
                           {BoardKey::undo, 1100, "undo long"},
                           {BoardKey::turn_down, 3000, "down long"}};
    AdapterBench bench;
    REQUIRE(bench.set_up(trial_profile()));
    for (const KeyRow& row : rows) {
        CAPTURE(row.told, row.held_ms);
        press(bench, {row.key}, row.held_ms);
        CHECK(take_keys(bench) == std::vector<std::string>{row.told});
    }
}

TEST_CASE(
    "a key of the board that bounces is one press, and a touch of 20 ms and two keys at once are none") {
    AdapterBench bench;
    REQUIRE(bench.set_up(trial_profile()));
    for (unsigned i = 0; i < 12; ++i) {
        bench.board.pins().press(BoardKey::go_on, i % 2 == 0);
        bench.pass(4);
    }
    press(bench, {BoardKey::go_on}, 100);
    CHECK(take_keys(bench) == std::vector<std::string>{"go"});
    press(bench, {BoardKey::go_on}, 20);
    press(bench, {BoardKey::go_on, BoardKey::turn_down}, 300);
    press(bench, {BoardKey::undo, BoardKey::set_aside}, 2000);
    bench.board.pins().press(BoardKey::undo, true);
    bench.pass(100);
    press(bench, {BoardKey::set_aside}, 100);  // while the other is held
    bench.board.pins().press(BoardKey::undo, false);
    bench.pass(400);
    CHECK(take_keys(bench).empty());
    press(bench, {BoardKey::set_aside}, 100);
    CHECK(take_keys(bench) == std::vector<std::string>{"aside"});
}

}  // namespace pairmark::sim
