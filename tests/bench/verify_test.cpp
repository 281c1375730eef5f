// What stands in a store, against what its events lead to: every kind of difference planted, found, put
// right.
#include <catch2/catch.hpp>
#include <cstdlib>
#include <random>

#include "host/bench/verify_store.hpp"
#include "host/record/sha256.hpp"
#include "tests/bench/bench.hpp"
#include "tests/store/raw_sql.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using bench::StoreDifference;
using bench::Verified;
using Catch::Contains;
using protocol::Key;

namespace {

/// A day with a pair of every kind: 1 kept, 2 turned down by the rules, 3 asking, 4 with a second number, 5
/// taken back, 6 turned down by hand, 7 kept in series B, 8 half.
void a_day(Bench& bench) {
    bench.start();
    bench.measure_kept_pair();
    bench.measure_pair(right_lens(-100, -450, 90), left_lens(-100));
    bench.measure_pair(right_lens(0), left_lens(-75));
    bench.measure_kept_pair(1);
    (void)bench.mark({{"tint", "light"}});
    bench.measure({right_lens(-300)});
    bench.press(Key::undo);
    bench.measure_kept_pair(3);
    bench.press(Key::turn_down);
    (void)bench.store->start_new_series();
    bench.measure_kept_pair(4);
    bench.measure({right_lens(-500)});
}

void end(Bench& bench) {
    bench.sorting.reset();
    bench.store.reset();
}

std::string all_of(const Verified& verified) {
    std::string text;
    for (const std::string& damage : verified.damage)
        text += "damage: " + damage + "\n";
    for (const StoreDifference& one : verified.differences)
        text += one.sentence() + "\n";
    return text;
}

/// Verifies, puts right, verifies again: what it said first, and that nothing is left.
std::string found_and_put_right(store::Store& store) {
    const std::string found = all_of(bench::verify_store(store));
    const bench::StoreDerived right = bench::derive(store);
    REQUIRE(right.unreadable.empty());
    const auto done = bench::put_right(store, right);
    CHECK(done.empty() == found.empty());
    const std::string left = all_of(bench::verify_store(store));
    CHECK(left.empty());
    INFO(left);
    CHECK(bench::put_right(store, bench::derive(store)).empty());
    return found;
}

struct Planting {
    std::string sql;
    std::vector<std::string> said;
};

/// `first`: a valid number; `void_number`: a void one.
std::vector<Planting> plantings(const std::string& first, const std::string& void_number) {
    const std::string of_first = " WHERE number = '" + first + "'";
    const std::string intent_of_first = " WHERE label = '" + first + "'";
    const std::string new_label =
        "INSERT INTO label SELECT 'A1-A-00900-X', pair, series, 900, 'valid', date, place, facts FROM label" +
        of_first;
    const std::string new_intent =
        "INSERT INTO intent SELECT 900, pair, 'A1-A-00900-X', copy, 'waiting', say, rules_hash, facts, "
        "document FROM "
        "intent" +
        intent_of_first;
    return {
        {"DELETE FROM pair WHERE id = 2", {"the pair is not there (pair 2, table \"pair\")"}},
        {"UPDATE pair SET state = 'open' WHERE id = 1",
         {"stands there as \"open\"; the events left it labelled"}},
        {"UPDATE pair SET body = replace(body, '-1.25', '-1.75') WHERE id = 1",
         {"not as the events left it (pair 1"}},
        {"UPDATE pair SET verdict = NULL WHERE id = 3", {"not as the events left it (pair 3"}},
        {"UPDATE pair SET last_event = 99999 WHERE id = 1", {"names event 99999, which is none"}},
        {"INSERT INTO pair VALUES (99, 'labelled', '{}', NULL, 1)", {"the events do not know (pair 99"}},
        {"DELETE FROM label" + of_first, {"the number was given, but is not there (label \"" + first}},
        {"DELETE FROM label WHERE series = 'B'", {"series B would have counter 1; 1 was given already"}},
        {"UPDATE label SET state = 'void'" + of_first, {"valid by the events, but stands there as void"}},
        {"UPDATE label SET state = 'valid' WHERE number = '" + void_number + "'",
         {"void by the events, but stands there as valid"}},
        {"UPDATE label SET place = 'Box 9-09'" + of_first, {"does not say what the events say: place"}},
        {"UPDATE label SET date = '2020-01-01', facts = '{}'" + of_first, {"date, what stands on it"}},
        {"UPDATE label SET pair = 2" + of_first, {"the events say: pair"}},
        {"UPDATE label SET counter = 77" + of_first, {"the events say: counter"}},
        {"UPDATE label SET series = 'Q'" + of_first, {"the events say: series"}},
        {"UPDATE label SET counter = 99 WHERE series = 'A' AND counter = 1;"
         "UPDATE label SET counter = 1 WHERE series = 'A' AND counter = 2;"
         "UPDATE label SET counter = 2 WHERE counter = 99",
         {"the events say: counter (label \"A1-A-00001", "the events say: counter (label \"A1-A-00002"}},
        {"UPDATE label SET number = 'cake'" + of_first,
         {"under a number that no event gave", "the number was given, but is not there"}},
        {new_label, {"no event gave this number (label \"A1-A-00900-X\""}},
        {new_intent, {"there is no such label (print intent 900"}},
        {new_label + ";" + new_intent,
         {"no event gave this number", "could still be printed (print intent 900"}},
        {"DELETE FROM intent" + intent_of_first, {"its print intent is lost (label \"" + first}},
        {"UPDATE intent SET outcome = 'waiting'" + intent_of_first,
         {"it came out by the events, but stands there as waiting"}},
        {"UPDATE intent SET outcome = 'cake'" + intent_of_first, {"its outcome \"cake\" is none"}},
        {"UPDATE intent SET outcome = 'waiting' WHERE label = '" + void_number + "'",
         {"its number is void, but it could still be printed"}},
        {"UPDATE intent SET rules_hash = 'x', pair = 2" + intent_of_first,
         {"names another pair, or other rules"}},
        {"UPDATE meta SET value = 'A' WHERE key = 'series'",
         {"are in series A, but numbers of series B were given"}},
        {"UPDATE event SET number = number + 1000 WHERE kind = 'reading'",
         {"not kept as the event itself says them (event 4"}},
        {"UPDATE event SET adapter = NULL, epoch = NULL, number = NULL, record_crc = NULL WHERE kind = 'key'",
         {"not kept as the event itself says them"}},
        {"UPDATE event SET adapter = '00112233AABBCCDD', epoch = 1, number = 900, record_crc = 1 WHERE seq = "
         "1",
         {"not kept as the event itself says them (event 1,"}},
    };
}

/// The day's store, closed, and two numbers of it.
struct ClosedDay {
    ClosedDay() {
        a_day(bench);
        labels = bench.store->labels();
        REQUIRE(labels.size() >= 4);
        first = labels[0].number;
        for (const auto& label : labels)
            if (label.is_void) void_number = label.number;
        REQUIRE_FALSE(void_number.empty());
        REQUIRE(bench.store->series() == "B");
        end(bench);
    }
    std::filesystem::path fresh_copy() const {
        const std::filesystem::path copy = bench.folder / "planted.db";
        for (const char* suffix : {"", ".lock", ".generation"})
            std::filesystem::remove(copy.string() + suffix);
        std::filesystem::copy_file(bench.config.database, copy);
        return copy;
    }
    /// Whatever was wrong: no number may come again, and every row has what it refers to.
    void check_numbers(const store::Store& store, const std::filesystem::path& path) const {
        for (const auto& label : labels) {
            REQUIRE(store.label(label.number));
            CHECK(store.next_counter(label.series) > label.counter);
        }
        CHECK(RawDatabase(path).number("SELECT count(*) FROM pragma_foreign_key_check") == 0);
        CHECK(store.intents(PrintOutcome::waiting).empty());
    }

    Bench bench;
    std::vector<store::StoredLabel> labels;
    std::string first;
    std::string void_number;
};

}  // namespace

TEST_CASE("A day with pairs of every kind is clean, and so is it after restarts with other rules") {
    Bench bench;
    a_day(bench);
    const Verified verified = bench::verify_store(*bench.store);
    CHECK(all_of(verified).empty());
    CHECK(verified.clean());
    CHECK(verified.pairs == bench.sorting->pipeline().table().count());
    CHECK(verified.labels == static_cast<std::int64_t>(bench.numbers().size()));
    CHECK(verified.events == bench.store->last_sequence());
    bench.rules = no_cylinder_over("0.25");
    bench.start();
    bench.measure({left_lens(-525)});
    bench.measure_pair(right_lens(-100, -50, 90), left_lens(-100));
    (void)bench.mark({{"tint", "none"}}, 3);
    bench.start();
    CHECK(all_of(bench::verify_store(*bench.store)).empty());
    CHECK(bench::put_right(*bench.store, bench::derive(*bench.store)).empty());
}

TEST_CASE("A day whose printer fails, holds or doubts is clean too, and a pair whose label was refused") {
    for (const PrintOutcome outcome : {PrintOutcome::failed, PrintOutcome::held, PrintOutcome::in_doubt}) {
        Bench bench;
        bench.start();
        bench.printer.result = {outcome, "look at the printer"};
        bench.measure_kept_pair();
        bench.measure_kept_pair(1);
        bench.press(Key::undo);
        CHECK(all_of(bench::verify_store(*bench.store)).empty());
        bench.printer.result = {PrintOutcome::printed, ""};
        bench.start();
        CHECK(all_of(bench::verify_store(*bench.store)).empty());
    }
    Bench bench;
    bench.rules = keep_all;
    bench.start();
    bench.measure_pair(with_addition(right_lens(100), 200), with_addition(left_lens(100), 200));
    REQUIRE(bench.state(1) == record::PairState::decided);
    CHECK(all_of(bench::verify_store(*bench.store)).empty());
    (void)bench.mark({{"lens_type", "segment"}});
    CHECK(all_of(bench::verify_store(*bench.store)).empty());
}

TEST_CASE("What a cut left between an event and its rows is found and put right") {
    Bench bench;
    bench.start();
    bench.take(reading(1, {right_lens(-100, -450, 90)}));
    bench.take(reading(2, {left_lens(-100)}));
    SECTION("by put_right") {
        CHECK_THAT(found_and_put_right(*bench.store), Contains("the pair is not there (pair 1, "));
    }
    SECTION("by the daemon's next start") {
        bench.start();
        CHECK(bench::verify_store(*bench.store).clean());
    }
    REQUIRE(bench.store->pair(1));
    CHECK(bench.store->pair(1)->state == "turned-down");
    // An undo whose void label the store was not told of: the daemon's own start does that.
    bench.number = 2;
    bench.measure_kept_pair();
    bench.take(key_press(++bench.number, Key::undo));
    CHECK_THAT(found_and_put_right(*bench.store), Contains("void by the events, but stands there as valid"));
    CHECK(bench.numbers() == Words{"A1-A-00001 void"});
}

TEST_CASE("Every kind of difference is found, and what can be put right is right afterwards") {
    const ClosedDay day;
    for (const Planting& row : plantings(day.first, day.void_number)) {
        CAPTURE(row.sql);
        const std::filesystem::path path = day.fresh_copy();
        run_raw(path, row.sql);
        store::Store store = store::Store::open(path);
        const std::string found = found_and_put_right(store);
        for (const std::string& said : row.said)
            CHECK_THAT(found, Contains(said));
        CHECK_THAT(found, Contains("pairmark verify --put-right"));
        day.check_numbers(store, path);
    }
}

TEST_CASE("Any mixture of differences is put right") {
    const ClosedDay day;
    const auto all = plantings(day.first, day.void_number);
    const unsigned tries = std::getenv("PAIRMARK_LONG") != nullptr ? 2000 : 60;
    for (unsigned seed = 1; seed <= tries; ++seed) {
        CAPTURE(seed);
        std::mt19937 random(seed);
        const std::filesystem::path path = day.fresh_copy();
        std::string planted;
        for (unsigned i = 0; i < 2 + seed % 5; ++i) {
            const std::string& sql = all[random() % all.size()].sql;
            try {
                run_raw(path, sql);
                planted += sql + ";\n";
            } catch (const std::runtime_error&) {
                // One that the ones before leave no room for.
            }
        }
        CAPTURE(planted);
        store::Store store = store::Store::open(path);
        (void)found_and_put_right(store);
        day.check_numbers(store, path);
    }
}

TEST_CASE("Many differences at once are all put right") {
    Bench bench;
    a_day(bench);
    end(bench);
    run_raw(
        bench.config.database,
        "DELETE FROM pair; DELETE FROM label; DELETE FROM intent; UPDATE meta SET value = 'A' WHERE key = "
        "'series'; UPDATE event SET adapter = NULL, epoch = NULL, number = NULL, record_crc = NULL");
    store::Store store = store::Store::open(bench.config.database);
    CHECK_FALSE(found_and_put_right(store).empty());
    // Every document that was lost came out on that day: none may come out again.
    CHECK(store.intents(PrintOutcome::waiting).empty());
    CHECK(store.intents(PrintOutcome::failed).empty());
}

TEST_CASE("A print intent that was lost before its outcome comes back in doubt, with the same document") {
    Bench bench;
    bench.start();
    bench.printer.cut = true;
    bench.measure({right_lens(-125)});
    CHECK_THROWS_AS(bench.measure({left_lens(-150)}), PowerCut);
    const auto intents = bench.store->intents();
    REQUIRE(intents.size() == 1);
    const std::string document = bench.store->intent(intents[0].id)->document;
    end(bench);
    run_raw(bench.config.database, "DELETE FROM intent");
    {
        store::Store store = store::Store::open(bench.config.database);
        CHECK_THAT(found_and_put_right(store), Contains("its print intent is lost"));
        const auto again = store.intent(intents[0].label, 0);
        REQUIRE(again);
        CHECK(again->outcome == PrintOutcome::in_doubt);
        CHECK(again->document == document);
    }
    bench.printer.cut = false;
    bench.start();
    CHECK(bench.printer.asked.empty());
}

TEST_CASE("An intent that says printed where no event does is doubted") {
    Bench bench;
    bench.start();
    bench.printer.result = {PrintOutcome::failed, "no folder"};
    bench.measure_kept_pair();
    end(bench);
    run_raw(bench.config.database, "UPDATE intent SET outcome = 'printed'");
    store::Store store = store::Store::open(bench.config.database);
    CHECK_THAT(found_and_put_right(store), Contains("stands there as printed, but no event says so"));
    CHECK(store.intents(PrintOutcome::in_doubt).size() == 1);
}

TEST_CASE("Quarantine is looked at and never touched") {
    Bench bench;
    bench.start();
    bench.measure_kept_pair();
    auto other = reading(1, {right_lens(-700)});
    REQUIRE(bench.take(other) == Taken::clash);
    CHECK(all_of(bench::verify_store(*bench.store)).empty());
    end(bench);
    run_raw(bench.config.database, "UPDATE quarantine SET number = 555");
    store::Store store = store::Store::open(bench.config.database);
    CHECK_THAT(all_of(bench::verify_store(store)),
               Contains("set apart because it clashed") && Contains("number 555"));
    CHECK(bench::put_right(store, bench::derive(store)).empty());
    REQUIRE(store.quarantined().size() == 1);
    CHECK(store.quarantined()[0].number == 555);
}

TEST_CASE("Numbers that the events cannot mean are told with their event") {
    Bench bench;
    bench.start();
    bench.measure_kept_pair();
    const std::string number = bench.store->labels().at(0).number;
    record::Event twice{0, "2026-11-24T12:00:00.000Z",
                        record::Numbered{1, number, "A", 1, "2026-11-24", "Box 1-01"}};
    bench.store->append(twice);
    record::Event nobody{0, "2026-11-24T12:00:00.000Z",
                         record::Numbered{7, "cake", "A", 5, "2026-11-24", "Box 1-01"}};
    bench.store->append(nobody);
    const std::string said = all_of(bench::verify_store(*bench.store));
    CHECK_THAT(said, Contains("was given before (event " + std::to_string(twice.sequence)) &&
                         Contains("is no number that this program gives") && Contains("which is not kept"));
    CHECK(bench::put_right(*bench.store, bench::derive(*bench.store)).empty());
}

TEST_CASE("An event that cannot be read is named by verify and by a start, and ends neither without a word") {
    Bench bench;
    a_day(bench);
    end(bench);
    const std::string whole = bytes_of(bench.config.database);
    struct Row {
        std::string sql;
        std::string said;
    };
    for (const Row& row :
         {Row{"UPDATE event SET body = 'nonsense' WHERE seq = 4", "event 4: its body is not JSON"},
          Row{"UPDATE event SET body = 'nonsense' WHERE seq = 2", "event 2: its body is not JSON"},
          Row{"DELETE FROM event WHERE seq = 4", "event 4"}}) {
        CAPTURE(row.sql);
        write_file(bench.config.database, whole);
        run_raw(bench.config.database, row.sql);
        {
            const store::Store store = store::Store::open_to_read(bench.config.database);
            const Verified verified = bench::verify_store(store);
            REQUIRE(verified.damage.size() == 1);
            CHECK_THAT(verified.damage[0], Catch::StartsWith(row.said));
            CHECK_FALSE(verified.clean());
        }
        try {
            bench.start();
            FAIL("it started");
        } catch (const record::BadRecord& bad) {
            CHECK_THAT(bad.what(), Catch::StartsWith(row.said));
        }
        end(bench);
    }
}

TEST_CASE("Rules that this program cannot use are told with their event") {
    Bench bench;
    bench.start();
    record::Event text{0, "2026-11-24T12:00:00.000Z",
                       record::TextInForce{"rules", record::sha256("{}"), "{}"}};
    bench.store->append(text);
    const Verified verified = bench::verify_store(*bench.store);
    REQUIRE(verified.damage.size() == 1);
    CHECK_THAT(verified.damage[0],
               Catch::StartsWith("event " + std::to_string(text.sequence) + ": body.text: "));
}

TEST_CASE("A store is verified while a bench has it open, and progress is told") {
    Bench bench;
    a_day(bench);
    const std::string before = bytes_of(bench.config.database);
    const store::Store reader = store::Store::open_to_read(bench.config.database);
    std::int64_t last = 0;
    const Verified verified = bench::verify_store(reader, [&last](std::int64_t done, std::int64_t of) {
        CHECK(done == last + 1);
        CHECK(done <= of);
        last = done;
    });
    CHECK(last == bench.store->last_sequence());
    CHECK(verified.clean());
    CHECK(bytes_of(bench.config.database) == before);
    bench.measure({left_lens(-525)});
    CHECK(bench::verify_store(reader).clean());
}

TEST_CASE("Putting right that fails halfway changes nothing") {
    Bench bench;
    a_day(bench);
    end(bench);
    run_raw(bench.config.database,
            "DELETE FROM label; DELETE FROM intent; UPDATE pair SET state = 'open'; VACUUM");
    store::Store store = store::Store::open(bench.config.database);
    const std::string before = all_of(bench::verify_store(store));
    store.limit_size(1);
    CHECK_THROWS_AS(bench::put_right(store, bench::derive(store)), store::StoreFailure);
    CHECK(all_of(bench::verify_store(store)) == before);
}
