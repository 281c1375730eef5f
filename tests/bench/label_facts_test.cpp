// What the programme wants on its labels: from marks to facts, paper and bytes, on the day and in a replay.
#include <catch2/catch.hpp>

#include "host/bench/replay.hpp"
#include "host/label/render.hpp"
#include "tests/bench/bench.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using protocol::Key;

namespace {

const bench::LabelWishes everything{true, true, true, true, true, "Room 4"};

/// The facts of the newest label.
record::LabelFacts newest(const Bench& bench) {
    const auto labels = bench.store->labels();
    REQUIRE_FALSE(labels.empty());
    return labels.back().facts;
}

protocol::LensFields with_addition(protocol::LensFields lens) {
    lens.has_addition = true;
    lens.addition = 200;
    return lens;
}

}  // namespace

TEST_CASE("Facts stand on a label where the programme wants them and somebody marked them") {
    Bench bench;
    bench.config.label.wishes = everything;
    bench.start();
    (void)bench.mark({{"frame_size", "52-18-140"},
                      {"child", "yes"},
                      {"style", "women"},
                      {"rim", "full"},
                      {"lens_type", "single"}});
    bench.measure_kept_pair();
    const record::LabelFacts facts = newest(bench);
    CHECK(facts.frame_size == "52-18-140");
    CHECK(facts.wearer == "child");
    CHECK(facts.style == "women");
    CHECK(facts.rim == "full");
    CHECK(facts.single_vision);
    CHECK(facts.extra == "Room 4");
}

TEST_CASE("What the programme does not want stays off its labels") {
    Bench bench;
    bench.start();
    (void)bench.mark(
        {{"frame_size", "M"}, {"child", "yes"}, {"style", "men"}, {"rim", "cord"}, {"lens_type", "single"}});
    bench.measure_kept_pair();
    const record::LabelFacts facts = newest(bench);
    CHECK((facts.frame_size + facts.wearer + facts.style + facts.rim + facts.extra).empty());
    CHECK_FALSE(facts.single_vision);
}

TEST_CASE("What nobody said of this pair is not printed as if somebody had") {
    Bench bench;
    bench.config.label.wishes = everything;
    bench.start();
    bench.measure_kept_pair();
    const record::LabelFacts facts = newest(bench);
    CHECK((facts.frame_size + facts.wearer + facts.style + facts.rim).empty());
    CHECK_FALSE(facts.single_vision);
}

TEST_CASE("Looked over by the key here, a pair is an adult's and has single vision unless marked otherwise") {
    Bench bench;
    bench.config.label.wishes = everything;
    bench.config.looked_over_earlier = false;
    bench.start();
    bench.measure_kept_pair();
    bench.press(Key::go_on);
    CHECK(newest(bench).wearer == "adult");
    CHECK(newest(bench).single_vision);
    CHECK(newest(bench).rim.empty());
    bench.measure_kept_pair(1);
    (void)bench.mark({{"child", "yes"}});
    bench.press(Key::go_on);
    CHECK(newest(bench).wearer == "child");
}

TEST_CASE("How an addition was measured stands beside it, and never without one") {
    Bench bench;
    bench.rules = keep_all;
    bench.config.label.wishes = everything;
    bench.start();
    (void)bench.mark({{"lens_type", "progressive"}, {"addition_by", "back"}});
    bench.measure_pair(with_addition(right_lens(-125)), with_addition(left_lens(-150)));
    const record::LabelFacts facts = newest(bench);
    CHECK(facts.addition_kind == "progressive");
    CHECK(facts.addition_by == "back");
    CHECK_FALSE(facts.single_vision);

    Bench plain;
    plain.start();
    (void)plain.mark({{"addition_by", "front"}});
    plain.measure_kept_pair();
    CHECK(newest(plain).addition_by.empty());
}

TEST_CASE("A replay draws the bytes of the day, on the paper of that day, also when it changed between") {
    Bench bench;
    bench.config.label.wishes = {.rim = true, .extra = "Kiste 4"};
    bench.start();
    (void)bench.mark({{"rim", "cord"}});
    bench.measure_kept_pair();
    bench.config.label.paper = {{100, 60}, 300, record::LabelSize{40, 20}};
    bench.config.label.wishes.extra = "";
    bench.start();
    bench.measure_kept_pair(1);
    REQUIRE(bench.printer.out.size() == 2);
    CHECK(bench.printer.out[0].document != bench.printer.out[1].document);

    std::vector<RecordingPrinter::Sheet> again;
    (void)bench::replay(bench.events(), std::nullopt,
                        [&again](const record::LabelFacts& facts, const record::LabelPaper& paper) {
                            again.push_back({facts.number, label::render_document(facts, paper)});
                        });
    CHECK(again == bench.printer.out);
}
