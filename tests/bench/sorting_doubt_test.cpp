// What must not become a label by itself: late readings, half pairs, labels that cannot be made, a full
// store.
#include <catch2/catch.hpp>

#include "tests/bench/bench.hpp"
#include "tests/store/full_disk.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using protocol::Key;
using record::PairState;

namespace {

protocol::EventLine of_age(protocol::EventLine event, std::optional<std::uint32_t> age_ms) {
    event.age_known = age_ms.has_value();
    event.age_ms = age_ms.value_or(0);
    return event;
}

Words notes(const Bench& bench, const std::string& what) {
    Words says;
    for (const record::Noted& note : bench.all<record::Noted>())
        if (note.what == what) says.push_back(note.say);
    return says;
}

/// Takes fresh readings until the store has no room; the first event that was not stored.
protocol::EventLine fill(Bench& bench) {
    bench.store->limit_size(1);
    for (std::uint32_t number = 1; number < 2000; ++number) {
        const protocol::EventLine event = reading(number, {right_lens(-125)});
        if (bench.take(event) == Taken::failed) return event;
    }
    throw std::logic_error("the store has room without end");
}

}  // namespace

TEST_CASE("A late reading is held without a label until a person releases its pair") {
    struct Row {
        const char* why;
        std::optional<std::uint32_t> age_ms;
        bool link_healthy;
        bool held;
    };
    for (const Row& row : {
             Row{"its age is not known", std::nullopt, true, true},
             Row{"it is too old", 30'001, true, true},
             Row{"the link was not healthy", 10, false, true},
             Row{"nothing: it is just young enough", 30'000, true, false},
         }) {
        CAPTURE(row.why);
        Bench bench;
        bench.start();
        bench.take(of_age(reading(1, {right_lens(-125)}), row.age_ms), row.link_healthy);
        bench.take(reading(2, {left_lens(-150)}));
        bench.sorting->settle();
        CHECK(bench.pair(1).late == row.held);
        CHECK(bench.printer.asked.size() == (row.held ? 0U : 1U));
        if (!row.held) continue;
        CHECK(bench.store->labels().empty());
        CHECK(bench.state(1) == PairState::complete);
        bench.start();  // and a restart releases nothing
        CHECK(bench.printer.asked.empty());
        (void)bench.act("release", 1);
        CHECK(bench.numbers() == Words{"A1-A-00001"});
        CHECK(bench.printer.out.size() == 1);
    }
}

TEST_CASE("A held pair is cued as a question, never as one to keep") {
    Bench bench;
    bench.start();
    bench.take(reading(1, {right_lens(-125), left_lens(-150)}), false);
    bench.sorting->settle();
    CHECK(bench.cues == Words{"ask"});
}

TEST_CASE("How late is too late is the configuration's word") {
    Bench bench;
    bench.config.late_after = std::chrono::seconds(2);
    bench.start();
    bench.take(of_age(reading(1, {right_lens(-125), left_lens(-150)}), 2001));
    bench.sorting->settle();
    CHECK(bench.pair(1).late);
    CHECK(bench.printer.asked.empty());
}

TEST_CASE("Half a pair is known while it lies at the bench, and no longer") {
    Bench bench;
    bench.start();
    CHECK_FALSE(bench.sorting->half_pair());
    bench.measure({right_lens(-125)});
    CHECK(bench.sorting->half_pair() == 1);
    bench.measure({left_lens(-150)});
    CHECK_FALSE(bench.sorting->half_pair());
}

TEST_CASE("An old half pair asks, and what is measured then begins another pair") {
    Bench bench;
    bench.start();
    bench.measure({right_lens(-125)});
    bench.sorting->half_pair_is_old(1);
    CHECK(bench.state(1) == PairState::asking);
    CHECK(bench.cues == Words{"ask"});
    CHECK(bench.told("said").size() == 1);
    CHECK_FALSE(bench.sorting->half_pair());
    bench.measure({left_lens(-150)});
    CHECK_FALSE(bench.pair(1).left);
    CHECK(bench.pair(2).left);
    CHECK(bench.printer.asked.empty());
}

TEST_CASE("A time-out that comes after the other lens changes nothing") {
    Bench bench;
    bench.start();
    bench.measure_kept_pair();
    const Words pairs = bench.pairs();
    bench.sorting->half_pair_is_old(1);
    CHECK(bench.pairs() == pairs);
    CHECK(bench.numbers() == Words{"A1-A-00001"});
}

TEST_CASE("A label that cannot say an addition's kind is refused, asks, and spends no number") {
    Bench bench;
    bench.rules = keep_all;
    bench.start();
    bench.measure_pair(with_addition(right_lens(-125), 200), with_addition(left_lens(-150), 200));
    CHECK(bench.printer.asked.empty());
    CHECK(bench.store->labels().empty());
    CHECK(bench.cues.back() == "ask");
    REQUIRE(notes(bench, "label-refused").size() == 1);
    CHECK_THAT(notes(bench, "label-refused")[0], Catch::Contains("addition") && Catch::Contains("segment"));
    CHECK(bench.told("refused") == notes(bench, "label-refused"));
    bench.measure_kept_pair(1);
    CHECK(bench.numbers() == Words{"A1-A-00001"});
    (void)bench.mark({{"lens_type", "segment"}}, 1);
    CHECK(bench.numbers() == Words{"A1-A-00001", "A1-A-00002"});
    CHECK(bench.store->labels()[1].facts.addition_kind == "segment");
}

TEST_CASE("An addition stands on the label in quarter dioptres, as it was graded") {
    Bench bench;
    bench.rules = keep_all;
    bench.start();
    (void)bench.mark({{"lens_type", "progressive"}});
    bench.take(reading(1, {with_addition(right_lens(-125), 203), with_addition(left_lens(-150), 196)},
                       protocol::StepCode::hundredth));
    bench.sorting->settle();
    REQUIRE(bench.store->labels().size() == 1);
    CHECK(bench.store->labels()[0].facts.right_addition == optics::Dioptre::hundredths(200));
    CHECK(bench.store->labels()[0].facts.left_addition == optics::Dioptre::hundredths(200));
}

TEST_CASE("An instrument that reports an addition of 0.00 measured single vision lenses") {
    Bench bench;
    bench.start();
    bench.measure_pair(with_addition(right_lens(-125), 0), with_addition(left_lens(-150), 0));
    REQUIRE(bench.store->labels().size() == 1);
    CHECK_FALSE(bench.store->labels()[0].facts.right_addition);
}

TEST_CASE("A programme's name that the font cannot write refuses labels until it is put right") {
    Bench bench;
    bench.config.programme = "眼镜";
    bench.start();
    bench.measure_kept_pair();
    CHECK(bench.printer.asked.empty());
    CHECK(bench.cues == Words{"keep", "ask"});
    REQUIRE(bench.told("refused").size() == 1);
    CHECK_THAT(bench.told("refused")[0], Catch::Contains("programme name") && Catch::Contains("U+773C"));
    bench.config.programme = "Lunettes";
    bench.start();
    CHECK(bench.numbers() == Words{"A1-A-00001"});
    CHECK(bench.printer.out.size() == 1);
    bench.start();
    CHECK(bench.printer.asked.size() == 1);
}

TEST_CASE(
    "What a full store cannot keep is not acknowledged, said once, and taken when there is room again") {
    Bench bench;
    bench.start();
    const protocol::EventLine event = fill(bench);
    const std::int64_t last = bench.store->last_sequence();
    for (int again = 0; again < 3; ++again)
        CHECK(bench.take(event) == Taken::failed);
    CHECK(bench.store->last_sequence() == last);
    CHECK(bench.store->find({adapter_id, 1, event.event.number, event.crc}) == store::Known::unknown);
    CHECK(bench.told("trouble").size() == 1);
    CHECK_THAT(bench.act("turn-down", 1, std::string(4000, 'x')), Catch::StartsWith("not done: "));

    bench.store->limit_size(1LL << 40);
    CHECK(bench.take(event) == Taken::stored);
    bench.store->limit_size(1);
    std::uint32_t number = event.event.number;
    while (bench.take(reading(++number, {right_lens(-125)})) == Taken::stored && number < 5000) {
    }
    CHECK(bench.told("trouble").size() == 2);
}

TEST_CASE("A greeting that found no room is kept before any reading of that adapter is taken") {
    Bench bench;
    bench.start();
    bench.measure({right_lens(-125)});
    record::Greeted greeting;
    greeting.adapter = "0011223344556677";
    greeting.epoch = 1;
    greeting.changed = true;
    {
        const FullDisk full;
        bench.sorting->greeted(greeting);
        greeting.changed = false;  // greeted once more, by when it is no news to the daemon
        bench.sorting->greeted(greeting);
        CHECK(bench.take(reading(++bench.number, {left_lens(-150)})) == Taken::failed);
    }
    CHECK(bench.take(reading(bench.number, {left_lens(-150)})) == Taken::stored);
    bench.sorting->settle();
    const auto kept = bench.all<record::Greeted>();
    REQUIRE(kept.size() == 1);
    CHECK(kept[0].changed);
    CHECK(bench.numbers().empty());
    CHECK(bench.state(1) != PairState::labelled);
}

TEST_CASE(
    "A label for which the store has no room is not printed, and made when the bench starts with room") {
    Bench bench;
    bench.start();
    bench.store->limit_size(1);
    bench.measure_kept_pair();
    REQUIRE(bench.store->last_sequence() == 5);  // both readings found room; the label's document did not
    CHECK(bench.printer.asked.empty());
    CHECK(bench.numbers().empty());
    CHECK(bench.told("trouble").size() == 1);
    CHECK(bench.cues == Words{"keep", "printer"});
    bench.start();
    CHECK(bench.numbers() == Words{"A1-A-00001"});
    CHECK(bench.printer.out.size() == 1);
}
