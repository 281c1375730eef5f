// A session taken in from elsewhere: whole or not at all, once, and without a label of its own.
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <csignal>

#include "host/bench/import_session.hpp"
#include "host/bench/verify_store.hpp"
#include "host/label/number.hpp"
#include "host/record/sha256.hpp"
#include "host/store/session.hpp"
#include "tests/bench/bench.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using bench::Imported;
using bench::ImportRefused;
using Catch::Contains;
using protocol::Key;

namespace {

constexpr const char* noon = "2026-11-24T12:00:00.000Z";

std::string as_file(const std::vector<record::Event>& events, std::size_t count) {
    std::ostringstream out;
    store::SessionWriter writer(out, "0123456789ABCDEF");
    for (std::size_t i = 0; i < count && i < events.size(); ++i)
        writer.add(events[i]);
    writer.finish();
    return out.str();
}
std::string as_file(const std::vector<record::Event>& events) {
    return as_file(events, events.size());
}

/// Pairs kept (one of them marked afterwards), turned down and asking; half a pair at the end.
void a_day(Bench& bench) {
    bench.start();
    bench.measure_kept_pair();
    bench.measure_pair(right_lens(-100, -450, 90), left_lens(-100));
    bench.measure_pair(right_lens(0), left_lens(-75));
    bench.measure_kept_pair(1);
    (void)bench.mark({{"tint", "light"}});
    bench.measure({right_lens(-300)});
}

Imported import(store::Store& store, const std::string& file) {
    std::istringstream in(file);
    return bench::import_session(store, bench::read_to_import(in));
}

std::string refusal_of_file(const std::string& file) {
    std::istringstream in(file);
    try {
        (void)bench::read_to_import(in);
        return "taken";
    } catch (const record::BadRecord& bad) {
        return bad.what();
    }
}

std::string refusal_of_store(store::Store& store, const std::string& file) {
    try {
        (void)import(store, file);
        return "taken";
    } catch (const ImportRefused& refused) {
        return refused.what();
    }
}

/// Everything that a store holds, as text.
Words everything(const store::Store& store) {
    Words all;
    store.for_each_event(
        [&all](const record::Event& event) { all.push_back(record::to_json(event).dump()); });
    for (const store::StoredPair& pair : store.pairs())
        all.push_back(std::to_string(pair.id) + pair.state + pair.body + pair.verdict.value_or("-"));
    for (const store::LabelRow& label : store.label_rows())
        all.push_back(label.number + label.state + std::to_string(label.counter) + label.facts);
    all.push_back(std::to_string(store.intents().size()) + " intents, series " + store.series() +
                  ", imported to " + std::to_string(store.imported_to()));
    return all;
}

std::vector<record::Event> numbered_from_one(std::vector<record::Event> events) {
    for (std::size_t i = 0; i < events.size(); ++i)
        events[i].sequence = static_cast<std::int64_t>(i) + 1;
    return events;
}

}  // namespace

TEST_CASE(
    "A session comes into an empty store: the same pairs and labels, nothing to print, a later series") {
    Bench bench;
    a_day(bench);
    const auto events = bench.events();
    store::Store store = store::Store::open(bench.folder / "other.db");
    const Imported imported = import(store, as_file(events));
    CHECK(imported.added == static_cast<std::int64_t>(events.size()));
    CHECK(store.last_sequence() == imported.added);
    CHECK(store.imported_to() == imported.added);
    const auto here = store.pairs();
    const auto there = bench.store->pairs();
    REQUIRE(here.size() == there.size());
    for (std::size_t i = 0; i < here.size(); ++i) {
        CHECK(here[i].state == there[i].state);
        CHECK(here[i].body == there[i].body);
        CHECK(here[i].verdict == there[i].verdict);
    }
    CHECK(store.label_rows() == bench.store->label_rows());
    CHECK(store.label_rows().size() == 3);
    CHECK(store.intents().empty());
    CHECK(store.series() == "B");
    CHECK(imported.series == "B");
    CHECK(bench::verify_store(store).clean());
    CHECK(store.last_number(adapter_id, 1) == bench.store->last_number(adapter_id, 1));
}

TEST_CASE(
    "The same session again changes nothing, and one that goes on adds the rest, from wherever it was left") {
    Bench bench;
    a_day(bench);
    const auto events = bench.events();
    store::Store whole = store::Store::open(bench.folder / "whole.db");
    (void)import(whole, as_file(events));
    for (std::size_t first = 0; first <= events.size(); ++first) {
        CAPTURE(first);
        const std::filesystem::path path = bench.folder / ("part" + std::to_string(first) + ".db");
        store::Store store = store::Store::open(path);
        CHECK(import(store, as_file(events, first)).added == static_cast<std::int64_t>(first));
        CHECK(bench::verify_store(store).clean());
        const Words before = everything(store);
        CHECK(import(store, as_file(events, first)).added == 0);
        CHECK(import(store, as_file(events, first / 2)).added == 0);
        CHECK(everything(store) == before);
        const Imported rest = import(store, as_file(events));
        CHECK(rest.added == static_cast<std::int64_t>(events.size() - first));
        CHECK(bench::verify_store(store).clean());
        Words now = everything(store);
        Words expected = everything(whole);
        // A series may be passed over, never shared.
        CHECK(now.back().find("imported to " + std::to_string(events.size())) != std::string::npos);
        now.pop_back();
        expected.pop_back();
        CHECK(now == expected);
        CHECK(store.series() == "B");
    }
}

TEST_CASE("A session that is cut or changed anywhere changes nothing") {
    Bench bench;
    a_day(bench);
    const std::string whole = as_file(bench.events());
    for (std::size_t size = 0; size < whole.size(); size += 97) {
        CAPTURE(size);
        REQUIRE_THAT(refusal_of_file(whole.substr(0, size)), Catch::StartsWith("line "));
    }
    std::string changed = whole;
    changed.replace(changed.find("-1.25"), 5, "-1.75");
    CHECK_THAT(refusal_of_file(changed), Contains("the file was changed"));
}

TEST_CASE("A session whose events this store has otherwise is refused with the line") {
    Bench bench;
    a_day(bench);
    auto events = bench.events();
    store::Store store = store::Store::open(bench.folder / "other.db");
    (void)import(store, as_file(events, 8));
    const Words before = everything(store);
    REQUIRE(std::holds_alternative<record::ReadingTaken>(events[4].body));
    std::get<record::ReadingTaken>(events[4].body).id->record_crc ^= 1U;
    CHECK_THAT(refusal_of_store(store, as_file(events)),
               Contains("line 6 of the session is not the event 5") && Contains("name another database"));
    CHECK(everything(store) == before);
}

TEST_CASE("A store that has events of its own takes no session but what it holds already") {
    Bench bench;
    a_day(bench);
    const auto events = bench.events();
    Bench other;
    other.start();
    const Words before = everything(*other.store);
    CHECK_THAT(refusal_of_store(*other.store, as_file(events)), Contains("name another database"));
    CHECK(everything(*other.store) == before);
    // Its own session is there already; a longer one does not come behind its own events.
    CHECK(import(*bench.store, as_file(events)).added == 0);
    auto longer = events;
    longer.push_back({static_cast<std::int64_t>(events.size()) + 1, noon, record::Noted{"more", ""}});
    CHECK_THAT(refusal_of_store(*bench.store, as_file(longer)), Contains("events of its own after event 0"));
    CHECK(bench.store->imported_to() == 0);
}

TEST_CASE("An import for which there is no room leaves the store as it was, wherever it breaks off") {
    Bench bench;
    a_day(bench);
    for (int nth = 2; nth < 12; ++nth)
        bench.measure_kept_pair(nth);
    const std::string file = as_file(bench.events());
    int failures = 0;
    for (std::int64_t room = 40'960;; room += 4096) {
        CAPTURE(room);
        const std::filesystem::path path = bench.folder / ("room" + std::to_string(room) + ".db");
        store::Store store = store::Store::open(path);
        const Words before = everything(store);
        store.limit_size(room);
        bool done = false;
        try {
            (void)import(store, file);
            done = true;
        } catch (const store::StoreFailure& failure) {
            CHECK(failure.kind == store::FailureKind::disk_full);
        }
        if (done) break;
        ++failures;
        REQUIRE(failures < 100);
        CHECK(everything(store) == before);
        CHECK(bench::verify_store(store).clean());
        store.limit_size(1 << 24);
        CHECK(import(store, file).added > 0);
        CHECK(bench::verify_store(store).clean());
    }
    CHECK(failures > 0);
}

TEST_CASE("An import that is killed in the middle of a write leaves nothing of it, or all of it") {
    Bench bench;
    a_day(bench);
    const std::string file = as_file(bench.events());
    int killed = 0;
    bool done = false;
    for (rlim_t size = 8192; !done; size += 4096) {
        CAPTURE(size);
        REQUIRE(size < (8U << 20));
        const std::filesystem::path path = bench.folder / ("killed" + std::to_string(size) + ".db");
        { (void)store::Store::open(path); }
        const pid_t child = ::fork();
        REQUIRE(child >= 0);
        if (child == 0) {
            // The kernel ends a process that writes behind this place of a file.
            (void)std::signal(SIGXFSZ, SIG_DFL);
            const rlimit no_core{0, 0};
            const rlimit limit{size, size};
            if (::setrlimit(RLIMIT_CORE, &no_core) != 0 || ::setrlimit(RLIMIT_FSIZE, &limit) != 0) ::_exit(2);
            try {
                store::Store store = store::Store::open(path);
                (void)import(store, file);
            } catch (...) {
                ::_exit(3);
            }
            ::_exit(0);
        }
        int status = 0;
        REQUIRE(::waitpid(child, &status, 0) == child);
        done = WIFEXITED(status);
        if (done) CHECK(WEXITSTATUS(status) == 0);
        if (!done) ++killed;
        store::Store store = store::Store::open(path);
        CHECK_FALSE(store.was_restored_or_copied());
        if (store.last_sequence() == 0) {
            CHECK(store.pairs().empty());
            CHECK(store.label_rows().empty());
            CHECK(store.imported_to() == 0);
            CHECK(store.series() == "A");
        } else {
            CHECK(store.imported_to() == store.last_sequence());
        }
        CHECK(bench::verify_store(store).clean());
        const Imported again = import(store, file);
        CHECK(store.last_sequence() == again.events);
        CHECK(store.series() == "B");
        CHECK(bench::verify_store(store).clean());
    }
    CHECK(killed > 3);
}

TEST_CASE("A session that this program cannot mean is refused with its line") {
    const auto numbered = [](std::int64_t pair, const std::string& number, const std::string& series,
                             std::int64_t counter) {
        return record::Event{0, noon,
                             record::Numbered{pair, number, series, counter, "2026-11-24", "Box 1-01"}};
    };
    const auto text = [](const std::string& role, const std::string& words) {
        return record::Event{0, noon, record::TextInForce{role, record::sha256(words), words}};
    };
    Bench bench;
    bench.start();
    bench.take(reading(1, {right_lens(-125)}));
    bench.take(reading(2, {left_lens(-150)}));
    bench.take(reading(3, {right_lens(-225)}));
    bench.take(reading(4, {left_lens(-250)}));
    const auto kept = bench.events();
    const std::string line = "line " + std::to_string(kept.size() + 2) + ": ";
    const std::string last = "line " + std::to_string(kept.size() + 3) + ": ";
    const auto with = [&kept](const std::vector<record::Event>& more) {
        auto all = kept;
        all.insert(all.end(), more.begin(), more.end());
        return refusal_of_file(as_file(numbered_from_one(all)));
    };
    const auto number = [](const char* series, std::int64_t counter) {
        return label::print_number({"A1", series, counter});
    };
    REQUIRE(with({numbered(1, number("A", 1), "A", 1), numbered(2, number("A", 2), "A", 2)}) == "taken");
    CHECK_THAT(with({text("rules", "{}")}), Catch::StartsWith(line + "body.text: "));
    CHECK_THAT(with({text("rules", "[[[")}), Catch::StartsWith(line + "body.text: "));
    CHECK_THAT(with({text("settings", "nonsense")}), Catch::StartsWith(line + "body.text: "));
    CHECK_THAT(with({text("settings", "{\"programme\":7}")}), Catch::StartsWith(line + "body.text: "));
    CHECK_THAT(with({numbered(1, number("A", 1), "A", 1), numbered(2, number("A", 1), "A", 1)}),
               Catch::StartsWith(last) && Contains("was given before"));
    CHECK_THAT(
        with({numbered(1, number("A", 1), "A", 1), numbered(2, label::print_number({"A2", "A", 1}), "A", 1)}),
        Catch::StartsWith(last) && Contains("a counter that was given before"));
    CHECK_THAT(with({numbered(1, number("A", 1), "A", 2)}),
               Catch::StartsWith(line) && Contains("does not say series \"A\" and counter 2"));
    CHECK_THAT(with({numbered(1, "cake", "A", 1)}), Catch::StartsWith(line) && Contains("is no number"));
    CHECK_THAT(with({numbered(9, number("A", 1), "A", 1)}),
               Catch::StartsWith(line) && Contains("given to pair 9, which is not kept"));
    CHECK_THAT(with({numbered(1, number("ZZZ", 1), "ZZZ", 1)}),
               Catch::StartsWith(line) && Contains("there is none"));
}

TEST_CASE(
    "A bench that goes on from an imported session prints none of its labels, and gives its own numbers") {
    Bench there;
    there.start();
    there.measure_kept_pair();
    there.measure_kept_pair(1);
    const std::string file = as_file(there.events());
    Bench bench;
    {
        store::Store store = store::Store::open(bench.config.database);
        (void)import(store, file);
    }
    bench.start();
    CHECK(bench.printer.asked.empty());
    bench.number = 100;
    bench.measure_kept_pair(2);
    CHECK(bench.numbers() == Words{"A1-A-00001", "A1-A-00002", "A1-B-00001"});
    CHECK(bench.printer.out.size() == 1);
    CHECK(bench.places().back() == "Box 1-03");
    CHECK(bench::verify_store(*bench.store).clean());
    // An adapter's event that came with the session is known, so it is acknowledged and counts once.
    CHECK(bench.take(reading(1, {right_lens(-125)})) == Taken::known);
}

TEST_CASE("Half a pair that was imported asks before a reading of another adapter joins it") {
    Bench there;
    there.start();
    there.measure({right_lens(-125)});
    const std::string file = as_file(there.events());
    Bench bench;
    {
        store::Store store = store::Store::open(bench.config.database);
        (void)import(store, file);
    }
    bench.start();
    CHECK(bench.sorting->half_pair() == 1);
    record::Greeted greeting;
    greeting.adapter = adapter_id;
    greeting.epoch = 1;
    greeting.changed = true;
    bench.sorting->greeted(greeting);
    bench.number = 100;
    bench.measure({left_lens(-150)});
    CHECK(bench.numbers().empty());
    CHECK(bench.printer.asked.empty());
    CHECK_FALSE(bench.pair(1).questions.empty());
}

TEST_CASE("A session tells which kept pairs had no label yet, and the store how far it was imported") {
    Bench there;
    there.start();
    there.take(reading(1, {right_lens(-125)}));
    there.take(reading(2, {left_lens(-150)}));
    std::istringstream in(as_file(there.events()));
    const bench::SessionToImport session = bench::read_to_import(in);
    CHECK(session.derived.unlabelled == std::vector<std::int64_t>{1});
    CHECK(session.derived.open_pairs.empty());
    store::Store store = store::Store::open(there.folder / "other.db");
    (void)bench::import_session(store, session);
    CHECK(store.imported_to() == store.last_sequence());
    CHECK(store.labels().empty());
    CHECK(bench::verify_store(store).clean());
}

TEST_CASE("A kept pair that came with a session gets no label here until somebody here decides it anew") {
    Bench there;
    there.start();
    there.take(reading(1, {right_lens(-125)}));
    there.take(reading(2, {left_lens(-150)}));
    const std::string session = as_file(there.events());
    Bench here;
    {
        store::Store store = store::Store::open(here.config.database);
        (void)import(store, session);
    }
    here.start();
    CHECK(here.numbers().empty());
    CHECK(here.printer.asked.empty());
    here.start();
    CHECK(here.printer.asked.empty());
    record::Acted act;
    act.act = "mark";
    act.pair = 1;
    act.values = {{"tint", "light"}};
    (void)here.sorting->act(act);
    CHECK(here.numbers().size() == 1);
    CHECK(here.printer.out.size() == 1);
}
