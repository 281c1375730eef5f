// Whatever a day at the bench brings, its store follows from its events; after a cut, once it is put right.
#include <catch2/catch.hpp>
#include <cstdlib>
#include <random>

#include "host/bench/import_session.hpp"
#include "host/bench/verify_store.hpp"
#include "host/store/session.hpp"
#include "tests/bench/bench.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using protocol::Key;

namespace {

class AnyDay {
  public:
    explicit AnyDay(unsigned seed) : random_(seed) {
        bench.config.looked_over_earlier = seed % 3 != 0;
        bench.start();
    }

    Bench bench;

    void anything() {
        switch (below(16)) {
            case 0:
                bench.press(one_of({Key::go_on, Key::turn_down, Key::set_aside}));
                break;
            case 1:
                bench.press(Key::undo, below(4) == 0);
                break;
            case 2:
                (void)bench.mark({{"tint", one_of({"none", "light", "dark"})}}, any_pair());
                break;
            case 3:
                (void)bench.act(one_of({"in-order", "turn-down", "set-aside", "release", "undo"}), any_pair(),
                                "why");
                break;
            case 4:
                (void)bench.act("answer", any_pair(),
                                one_of({"same-lens", "other-lens", "another-pair", "same-pair"}));
                break;
            case 5:
                if (const auto half = bench.sorting->half_pair())
                    (void)bench.sorting->half_pair_is_old(*half);
                break;
            case 6:
                bench.printer.result.outcome =
                    one_of({PrintOutcome::printed, PrintOutcome::printed, PrintOutcome::failed,
                            PrintOutcome::held, PrintOutcome::in_doubt});
                bench.printer.result.say = "as the trial wants";
                break;
            case 7:
                bench.rules = one_of({std::string(grading::default_rules_text()), std::string(keep_all),
                                      no_cylinder_over("0.25")});
                bench.start();
                break;
            case 8:
                greet();
                break;
            default:
                measure(below(12) != 0);
        }
    }

    /// The power goes between an event and what follows from it.
    void cut() {
        for (std::uint32_t i = 0; i < 1 + below(2); ++i)
            bench.take(below(3) == 0 ? key_press(++bench.number, Key::undo)
                                     : reading(++bench.number, {lens_now()}));
    }

  private:
    std::uint32_t below(std::uint32_t limit) { return static_cast<std::uint32_t>(random_() % limit); }
    template <typename Value>
    Value one_of(std::initializer_list<Value> values) {
        return *(values.begin() + below(static_cast<std::uint32_t>(values.size())));
    }
    std::optional<std::int64_t> any_pair() {
        const std::int64_t count = bench.sorting->pipeline().table().count();
        if (count == 0 || below(2) == 0) return std::nullopt;
        return 1 + below(static_cast<std::uint32_t>(count));
    }
    protocol::LensFields lens_now() {
        const int sphere = -25 * static_cast<int>(below(12));
        const int cylinder = below(3) == 0 ? -25 * static_cast<int>(1 + below(4)) : 0;
        protocol::LensFields fields = right_ ? right_lens(sphere, cylinder, cylinder == 0 ? 0 : 90)
                                             : left_lens(sphere, cylinder, cylinder == 0 ? 0 : 90);
        if (below(8) != 0) right_ = !right_;
        if (below(15) == 0) fields = with_addition(fields, 200);
        return fields;
    }
    void measure(bool healthy) {
        bench.take(reading(++bench.number, {lens_now()}), healthy);
        bench.sorting->settle();
    }
    void greet() {
        record::Greeted greeting;
        greeting.adapter = adapter_id;
        greeting.epoch = 1;
        greeting.reset = below(2) == 0;
        greeting.changed = below(3) == 0;
        bench.sorting->greeted(greeting);
    }

    std::mt19937 random_;
    bool right_ = true;
};

std::string all_of(const bench::Verified& verified) {
    std::string text;
    for (const std::string& damage : verified.damage)
        text += damage + "\n";
    for (const bench::StoreDifference& one : verified.differences)
        text += one.sentence() + "\n";
    return text;
}

/// PAIRMARK_VERIFY_DAY=SEED plays one again.
std::vector<unsigned> seeds() {
    if (const char* one = std::getenv("PAIRMARK_VERIFY_DAY"))
        return {static_cast<unsigned>(std::strtoul(one, nullptr, 10))};
    std::vector<unsigned> all;
    for (unsigned seed = 1; seed <= (std::getenv("PAIRMARK_LONG") != nullptr ? 500U : 8U); ++seed)
        all.push_back(seed);
    return all;
}

}  // namespace

TEST_CASE("Any day without a cut is clean at every moment, and imported elsewhere it is the same") {
    std::size_t labels = 0;
    std::size_t void_labels = 0;
    for (const unsigned seed : seeds()) {
        INFO("play it again: PAIRMARK_VERIFY_DAY=" << seed);
        AnyDay day(seed);
        for (int i = 0; i < 60; ++i) {
            day.anything();
            INFO("after happening " << i);
            REQUIRE(all_of(bench::verify_store(*day.bench.store)) == "");
        }
        std::stringstream file;
        (void)store::export_session(*day.bench.store, file);
        store::Store other = store::Store::open(day.bench.folder / "other.db");
        (void)bench::import_session(other, bench::read_to_import(file));
        CHECK(other.label_rows() == day.bench.store->label_rows());
        CHECK(other.intents().empty());
        for (const store::LabelRow& label : other.label_rows())
            ++(label.state == "void" ? void_labels : labels);
        CHECK(all_of(bench::verify_store(other)) == "");
    }
    // The days must be worth their time.
    if (std::getenv("PAIRMARK_VERIFY_DAY") == nullptr) {
        CHECK(labels >= 8);
        CHECK(void_labels >= 4);
    }
}

TEST_CASE("Any day with cuts is clean after the next start, or put right before it, and goes on clean") {
    std::size_t found = 0;
    for (const unsigned seed : seeds()) {
        INFO("play it again: PAIRMARK_VERIFY_DAY=" << seed);
        AnyDay day(seed);
        for (int cut = 0; cut < 6; ++cut) {
            for (int i = 0; i < 8; ++i)
                day.anything();
            day.cut();
            store::Store& store = *day.bench.store;
            for (const bench::StoreDifference& one : bench::verify_store(store).differences) {
                INFO(one.sentence());
                CHECK(one.mends);
                ++found;
            }
            if (cut % 2 == 0) {
                (void)bench::put_right(store, bench::derive(store));
                REQUIRE(all_of(bench::verify_store(store)) == "");
            }
            day.bench.start();
            REQUIRE(all_of(bench::verify_store(*day.bench.store)) == "");
        }
        for (int i = 0; i < 8; ++i)
            day.anything();
        CHECK(all_of(bench::verify_store(*day.bench.store)) == "");
    }
    if (std::getenv("PAIRMARK_VERIFY_DAY") == nullptr) CHECK(found >= 4);
}
