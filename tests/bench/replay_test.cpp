// A session played again against the day that made it.
#include "host/bench/replay.hpp"

#include <catch2/catch.hpp>

#include "host/label/render.hpp"
#include "host/store/session.hpp"
#include "tests/bench/bench.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using protocol::Key;
using record::Decision;
using Sheets = std::vector<RecordingPrinter::Sheet>;

namespace {

/// The day's events as they come back from an exported file.
std::vector<record::Event> exported(Bench& bench) {
    std::stringstream file;
    (void)store::export_session(*bench.store, file);
    return store::read_session(file);
}

/// A day with everything in it: kept, undone, marked, asked, turned down, held and released, half.
void sort_a_day(Bench& bench) {
    bench.start();
    bench.measure_kept_pair();
    bench.measure_pair(right_lens(-125, -100, 85), left_lens(-125, -75, 95));
    bench.measure_pair(right_lens(-100, -450, 90), left_lens(-100, -425, 90));
    bench.measure_kept_pair(1);
    bench.press(Key::undo);
    bench.measure({left_lens(-200)});
    (void)bench.mark({{"tint", "light"}});
    bench.measure_pair(right_lens(0), left_lens(-75));
    bench.start();
    bench.take(reading(++bench.number, {right_lens(-275), left_lens(-300)}), false);
    (void)bench.act("release", 6);
    bench.measure({right_lens(-300)});
}

bench::Replayed replay(const std::vector<record::Event>& events, std::optional<std::string> rules = {},
                       Sheets* sheets = nullptr) {
    std::optional<grading::Rules> other;
    if (rules) other = grading::parse_rules(*rules);
    return bench::replay(events, std::move(other),
                         [sheets](const record::LabelFacts& facts, const record::LabelPaper& paper) {
                             if (sheets != nullptr)
                                 sheets->push_back({facts.number, label::render_document(facts, paper)});
                         });
}

Words pairs_of(const bench::Replayed& replayed) {
    Words all;
    for (const bench::ReplayedPair& one : replayed.pairs)
        all.push_back(record::to_json(one.pair).dump() + record::to_json(one.verdict).dump() + one.number);
    return all;
}

}  // namespace

TEST_CASE("A session alone gives the same pairs, verdicts and label bytes as the day itself") {
    Bench bench;
    sort_a_day(bench);
    const auto events = exported(bench);
    const Words pairs = bench.pairs();
    REQUIRE(pairs.size() == 7);
    const std::size_t used = bench.numbers().size();
    // Nothing of the store is left when the session is played.
    bench.sorting.reset();
    bench.store.reset();
    for (const char* file : {"bench.db", "bench.db.generation", "bench.db.lock"})
        std::filesystem::remove(bench.folder / file);

    Sheets sheets;
    const bench::Replayed replayed = replay(events, {}, &sheets);
    CHECK(pairs_of(replayed) == pairs);
    CHECK(sheets == bench.printer.out);
    CHECK(replayed.numbers == static_cast<std::int64_t>(used));
    CHECK(replayed.labels == 4);
    CHECK(replayed.events == static_cast<std::int64_t>(events.size()));
    CHECK(replayed.count(Decision::keep) + replayed.count(Decision::discard) +
              replayed.count(Decision::ask) ==
          7);
}

TEST_CASE("The places of the day come back too") {
    Bench bench;
    sort_a_day(bench);
    const bench::Replayed replayed = replay(exported(bench));
    CHECK(replayed.pairs[0].place == "Box 1-01");
    CHECK(replayed.pairs[1].place == "Box 1-02");
    CHECK(replayed.pairs[2].place.empty());
    CHECK(replayed.pairs[3].place == "Box 1-03");
    CHECK(replayed.pairs[5].place == "Box 1-04");
}

TEST_CASE("With other rules, exactly the pairs that they judge otherwise are named") {
    Bench bench;
    sort_a_day(bench);
    const auto events = exported(bench);
    const bench::Replayed before = replay(events);
    CHECK(bench::differences(before, before).empty());

    Sheets sheets;
    const bench::Replayed after = replay(events, no_cylinder_over("0.75"), &sheets);
    const auto found = bench::differences(before, after);
    Words named;
    for (const bench::Difference& one : found)
        named.push_back(std::to_string(one.after->pair.id) + " " +
                        std::string(record::word(one.before->verdict.decision)) + " " +
                        std::string(record::word(one.after->verdict.decision)));
    // Pair 3 is discarded by both; pair 5 asks for its lens without power under any rules.
    CHECK(named == Words{"2 keep discard"});
    CHECK(found[0].before->number == before.pairs[1].number);
    CHECK_FALSE(found[0].before->number.empty());
    for (const auto& sheet : sheets)
        CHECK(sheet.number != before.pairs[1].number);
}

TEST_CASE("A pair measured under old rules keeps its verdict when the rules change in the session") {
    Bench bench;
    bench.rules = no_cylinder_over("2");
    bench.start();
    bench.measure({right_lens(-125, -100, 90), left_lens(-150, -100, 90)});
    bench.rules = no_cylinder_over("0.50");
    bench.start();
    bench.measure({right_lens(-175, -100, 90), left_lens(-200, -100, 90)});
    const bench::Replayed replayed = replay(exported(bench));
    REQUIRE(replayed.pairs.size() == 2);
    CHECK(replayed.pairs[0].verdict.decision == Decision::keep);
    CHECK(replayed.pairs[1].verdict.decision == Decision::discard);
    CHECK(pairs_of(replayed) == bench.pairs());
}

TEST_CASE("A label that was refused on the day is counted as refused") {
    Bench bench;
    bench.config.programme = "眼镜";
    bench.start();
    bench.measure_kept_pair();
    const bench::Replayed replayed = replay(exported(bench));
    CHECK(replayed.refused == 1);
    CHECK(replayed.numbers == 0);
    CHECK(replayed.labels == 0);
    CHECK(replayed.readings == 2);
}

TEST_CASE("A pair that was undone to nothing is not among the day's pairs") {
    Bench bench;
    bench.start();
    bench.measure_kept_pair();
    bench.press(Key::undo, true);
    bench.measure_kept_pair(1);
    const bench::Replayed replayed = replay(exported(bench));
    REQUIRE(replayed.pairs.size() == 1);
    CHECK(replayed.pairs[0].pair.id == 2);
    CHECK(replayed.numbers == 2);
    CHECK(replayed.labels == 1);
}
