// Where pairs are filed: the lowest free slot of the boxes, or by power.
#include "host/bench/filing.hpp"

#include <catch2/catch.hpp>
#include <map>
#include <random>
#include <set>

#include "tests/bench/bench.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using bench::Boxes;
using bench::Filing;
using bench::FilingBy;
using protocol::Key;

namespace {

optics::Power lens(int sphere, int cylinder = 0) {
    return {optics::Dioptre::hundredths(sphere), optics::Dioptre::hundredths(cylinder),
            cylinder == 0 ? 0.0 : 90.0};
}

/// Files the pair where it belongs, and tells where.
std::string put(Filing& filing, std::int64_t pair) {
    const std::string place = filing.place_for(pair, lens(-100), pair);
    filing.file(pair, place);
    return place;
}

}  // namespace

TEST_CASE("Boxes fill in order, slot by slot") {
    struct Row {
        int slots;
        std::int64_t nth;
        const char* place;
    };
    for (const Row& row :
         {Row{50, 1, "Box 1-01"}, Row{50, 50, "Box 1-50"}, Row{50, 51, "Box 2-01"}, Row{50, 57, "Box 2-07"},
          Row{1, 3, "Box 3-01"}, Row{1000, 1000, "Box 1-1000"}, Row{1000, 100'001, "Box 101-01"}}) {
        CHECK(bench::place_of(Boxes{"Box", row.slots}, row.nth) == row.place);
        CHECK(bench::slot_of(Boxes{"Box", row.slots}, row.place) == row.nth);
    }
}

TEST_CASE("A place of other boxes, or of none, is no slot of these") {
    for (const char* place : {"", "Box", "Box 1", "Box 1-", "Box -01", "Box 1-1", "Box 01-01", "Box 0-01",
                              "Box 1-00", "Box 1-51", "Tray 1-01", "box 1-01", "Box 1-01 ", " Box 1-01",
                              "Box 1-001", "MINUS 1.50 00042", "Box 99999999999999999999-01", "Box 1--1"}) {
        CAPTURE(place);
        CHECK_FALSE(bench::slot_of(Boxes{"Box", 50}, place));
    }
    CHECK(bench::slot_of(Boxes{"Box 7-03", 50}, "Box 7-03 2-01") == 51);
}

TEST_CASE("A slot that was freed is given again before fresh ones, lowest first") {
    Filing filing;
    for (std::int64_t pair = 1; pair <= 5; ++pair)
        CHECK(put(filing, pair) == "Box 1-0" + std::to_string(pair));
    filing.take_out(4);
    filing.take_out(2);
    CHECK(put(filing, 6) == "Box 1-02");
    CHECK(put(filing, 7) == "Box 1-04");
    CHECK(put(filing, 8) == "Box 1-06");
}

TEST_CASE("A pair gets its own slot back as long as nobody else has it") {
    Filing filing;
    for (std::int64_t pair = 1; pair <= 3; ++pair)
        (void)put(filing, pair);
    CHECK(put(filing, 2) == "Box 1-02");
    filing.take_out(1);
    filing.take_out(3);
    CHECK(put(filing, 3) == "Box 1-03");
    filing.take_out(3);
    CHECK(put(filing, 4) == "Box 1-01");
    CHECK(put(filing, 5) == "Box 1-03");
    CHECK(put(filing, 3) == "Box 1-04");
    // What pair 3 had long ago is pair 5's: taking 3 out frees only what it has now.
    filing.take_out(3);
    CHECK(put(filing, 6) == "Box 1-04");
}

TEST_CASE("Asking for a place takes none") {
    Filing filing;
    CHECK(filing.place_for(1, lens(0), 1) == "Box 1-01");
    CHECK(filing.place_for(2, lens(0), 2) == "Box 1-01");
}

TEST_CASE("Other boxes begin with their own first slot, and old ones are known again when they come back") {
    Filing filing;
    (void)put(filing, 1);
    (void)put(filing, 2);
    filing.use({FilingBy::boxes, {"Tray", 10}});
    CHECK(put(filing, 3) == "Tray 1-01");
    filing.take_out(1);
    filing.use({FilingBy::boxes, {"Box", 50}});
    CHECK(filing.place_for(3, lens(0), 3) == "Box 1-01");
    CHECK(put(filing, 4) == "Box 1-01");
    CHECK(put(filing, 5) == "Box 1-03");
    // Two places of boxes with 50 are the same slots in boxes with 60; a place beyond a box's end is none.
    filing.use({FilingBy::boxes, {"Box", 2}});
    CHECK(put(filing, 6) == "Box 2-01");
}

TEST_CASE("Places of foreign texts, pairs without a number and slots far away harm nothing") {
    Filing filing;
    filing.file(0, "Box 1-01");
    filing.file(-5, "Box 1-01");
    filing.take_out(0);
    filing.take_out(99);
    filing.file(1, "Box 9999999-01");
    filing.file(2, "under the stairs");
    CHECK(put(filing, 3) == "Box 1-01");
    CHECK(filing.place(2) == "under the stairs");
    CHECK(filing.place(3) == "Box 1-01");
    CHECK(filing.place(4).empty());
    CHECK(filing.place(0).empty());
}

TEST_CASE("No two pairs in stock ever have one slot, and none above the lowest free one is given") {
    std::mt19937 random(20261125);
    Filing filing;
    std::map<std::int64_t, std::string> stock;
    for (int step = 0; step < 20'000; ++step) {
        const auto pair = static_cast<std::int64_t>(random() % 300 + 1);
        const auto has = stock.find(pair);
        if (has != stock.end() && random() % 2 == 0) {
            filing.take_out(pair);
            stock.erase(has);
            continue;
        }
        const bool was_ever_filed = !filing.place(pair).empty();
        const std::string place = put(filing, pair);
        std::set<std::string> taken;
        for (const auto& [other, where] : stock)
            if (other != pair) taken.insert(where);
        REQUIRE(taken.count(place) == 0);
        if (!was_ever_filed)
            for (std::int64_t lower = 1; bench::place_of({}, lower) != place; ++lower)
                REQUIRE(taken.count(bench::place_of({}, lower)) == 1);
        stock[pair] = place;
    }
}

TEST_CASE("A band is the sign and size of the spherical equivalent, cut down to half dioptres") {
    struct Row {
        int sphere;
        int cylinder;
        const char* band;
    };
    for (const Row& row : {
             Row{0, 0, "PLUS 0.00"},
             Row{25, 0, "PLUS 0.00"},
             Row{50, 0, "PLUS 0.50"},
             Row{75, 0, "PLUS 0.50"},
             Row{100, 0, "PLUS 1.00"},
             Row{-25, 0, "MINUS 0.00"},
             Row{-50, 0, "MINUS 0.50"},
             Row{-150, 0, "MINUS 1.50"},
             Row{-175, 0, "MINUS 1.50"},
             Row{-200, 0, "MINUS 2.00"},
             Row{-175, -25, "MINUS 1.50"},  // SE -1.875
             Row{-175, -50, "MINUS 2.00"},  // SE -2.00
             Row{25, -50, "PLUS 0.00"},     // SE 0
             Row{0, -25, "MINUS 0.00"},     // SE -0.125
             Row{50, -25, "PLUS 0.00"},     // SE +0.375
             Row{100, -200, "PLUS 0.00"},
             Row{-2050, -1050, "MINUS 25.50"},
             Row{1275, 0, "PLUS 12.50"},
         }) {
        CAPTURE(row.sphere, row.cylinder);
        CHECK(bench::power_band(lens(row.sphere, row.cylinder)) == row.band);
    }
}

TEST_CASE("By power, a place is the right lens's band and the label's counter") {
    Filing filing;
    filing.use({FilingBy::power, {}});
    CHECK(filing.place_for(1, lens(-150), 42) == "MINUS 1.50 00042");
    filing.file(1, "MINUS 1.50 00042");
    CHECK(filing.place_for(1, lens(-150), 43) == "MINUS 1.50 00043");
    CHECK(filing.place_for(2, lens(25), 123'456) == "PLUS 0.00 123456");
}

TEST_CASE("At the bench: turned down or taken back frees a slot, a mark in between does not") {
    Bench bench;
    bench.start();
    for (int nth = 0; nth < 3; ++nth)
        bench.measure_kept_pair(nth);
    (void)bench.mark({{"tint", "light"}}, 1);
    CHECK(bench.places().back() == "Box 1-01");
    (void)bench.mark({{"tint", "dark"}}, 2);
    CHECK(bench.state(2) == record::PairState::turned_down);
    bench.measure_kept_pair(3);
    CHECK(bench.places().back() == "Box 1-02");
    bench.press(Key::undo, true);
    CHECK(bench.state(4) == record::PairState::gone);
    bench.measure_kept_pair(4);
    CHECK(bench.places().back() == "Box 1-02");
    bench.measure_kept_pair(5);
    CHECK(bench.places().back() == "Box 1-04");
}

TEST_CASE("At the bench: a pair set aside frees its slot, and a start in between knows it") {
    Bench bench;
    bench.start();
    bench.measure_kept_pair(0);
    bench.measure_kept_pair(1);
    (void)bench.act("set-aside", 1);
    CHECK(bench.state(1) == record::PairState::asking);
    bench.start();
    bench.measure_kept_pair(2);
    CHECK(bench.places().back() == "Box 1-01");
    // Taken up again, pair 1 finds its slot taken.
    (void)bench.act("undo", 1);
    CHECK(bench.places().back() == "Box 1-03");
}

TEST_CASE("At the bench: filed by power, a relabelled pair moves with its number") {
    Bench bench;
    bench.config.filing.by = FilingBy::power;
    bench.start();
    bench.measure_kept_pair();
    (void)bench.mark({{"tint", "light"}});
    CHECK(bench.places() == Words{"MINUS 1.00 00001", "MINUS 1.00 00002"});
}

TEST_CASE("The events alone say where each pair of a day was filed, whichever way the programme files") {
    for (const FilingBy by : {FilingBy::boxes, FilingBy::power}) {
        Bench bench;
        bench.config.filing = {by, {"Tray", 3}};
        bench.start();
        for (int nth = 0; nth < 6; ++nth)
            bench.measure_kept_pair(nth);
        (void)bench.act("set-aside", 2);
        (void)bench.mark({{"tint", "dark"}}, 4);
        (void)bench.mark({{"tint", "light"}}, 5);
        bench.measure_kept_pair(6);
        (void)bench.act("undo", 2);
        bench.config.filing.boxes.slots = 4;
        bench.start();
        bench.measure_kept_pair(7);
        bench.press(Key::undo);
        bench.measure({left_lens(-325)});

        bench::Pipeline pipeline;
        int numbered = 0;
        for (const record::Event& event : bench.events()) {
            if (const auto* given = std::get_if<record::Numbered>(&event.body)) {
                const record::Pair* pair = pipeline.table().find(given->pair);
                REQUIRE(pair != nullptr);
                CHECK(pipeline.place_for(*pair, given->counter) == given->place);
                ++numbered;
            }
            (void)pipeline.apply(event);
        }
        CHECK(numbered >= 10);
    }
}
