// Damage in the database's pages and rows, named.
#include <catch2/catch.hpp>

#include "host/record/json.hpp"
#include "tests/record/random_events.hpp"
#include "tests/store/fresh_folder.hpp"
#include "tests/store/raw_sql.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using Catch::Contains;

namespace {

void fill(const std::filesystem::path& path) {
    store::Store store = store::Store::open(path);
    RandomEvents random(7);
    store::Transaction transaction = store.begin();
    for (int i = 0; i < 400; ++i) {
        record::Event event = random.make(static_cast<std::size_t>(i) % RandomEvents::kinds);
        store.append(event);
    }
    for (std::int64_t id = 1; id <= 40; ++id) {
        record::Pair pair;
        pair.id = id;
        store.put_pair(pair, std::string(300, 'v'));
    }
    transaction.commit();
}

std::string fault_at_reading(const store::Store& store) {
    try {
        store.for_each_event([](const record::Event&) {});
        return "read";
    } catch (const record::BadRecord& bad) {
        return bad.what();
    }
}

}  // namespace

TEST_CASE("A store without damage has none to tell, and every table is looked at") {
    const FreshFolder folder;
    fill(folder / "s.db");
    const store::Store store = store::Store::open_to_read(folder / "s.db");
    std::vector<std::string> looked;
    CHECK(store.damage([&looked](const std::string& table) { looked.push_back(table); }).empty());
    CHECK(looked == std::vector<std::string>{"event", "text", "pair", "label", "intent", "quarantine", "meta",
                                             "free pages"});
}

TEST_CASE("A damaged page is named with its table, whichever table it belongs to") {
    for (const std::string table : {"event", "pair", "text", "label", "intent", "quarantine", "meta"}) {
        CAPTURE(table);
        const FreshFolder folder;
        fill(folder / "s.db");
        const std::int64_t page = root_page(folder / "s.db", table);
        REQUIRE(page > 1);
        destroy_page(folder / "s.db", page);
        const store::Store store = store::Store::open_to_read(folder / "s.db");
        const auto damage = store.damage();
        REQUIRE_FALSE(damage.empty());
        CHECK_THAT(damage[0], Contains("table \"" + table + "\"") &&
                                  Contains("page " + std::to_string(page)) &&
                                  Contains((folder / "s.db").string()) && Contains("newest copy"));
        for (const std::string& one : damage)
            CHECK_THAT(one, Contains("table \"" + table + "\""));
    }
}

TEST_CASE("A database whose first page is destroyed is no store, in one sentence") {
    const FreshFolder folder;
    fill(folder / "s.db");
    destroy_page(folder / "s.db", 1);
    CHECK_THROWS_AS(store::Store::open_to_read(folder / "s.db"), store::StoreFault);
    CHECK_THROWS_AS(store::Store::open(folder / "s.db"), store::StoreFault);
}

TEST_CASE("A stored event that cannot be read is told with its number, whatever is wrong with it") {
    struct Row {
        std::string sql;
        std::string said;
    };
    const std::vector<Row> rows{
        {"UPDATE event SET body = 'nonsense' WHERE seq = 5", "event 5: its body is not JSON"},
        {"UPDATE event SET body = '' WHERE seq = 5", "event 5: its body is not JSON"},
        {"UPDATE event SET body = '{' WHERE seq = 5", "event 5: its body is not JSON"},
        {"UPDATE event SET body = CAST(x'FF00FE' AS TEXT) WHERE seq = 5", "event 5: its body is not JSON"},
        {"UPDATE event SET body = '[]' WHERE seq = 5", "event 5: body: expected an object"},
        {"UPDATE event SET kind = 'cake' WHERE seq = 5", "event 5: kind"},
        {"UPDATE event SET at = 'noon' WHERE seq = 5", "event 5: at"},
        // Texts in force are looked up by a member of their body.
        {"UPDATE event SET body = 'nonsense' WHERE seq = 2", "event 2: its body is not JSON"},
        {"UPDATE event SET body = '{\"hash\":' WHERE seq = 2", "event 2: its body is not JSON"},
        {"UPDATE event SET body = '{\"role\":\"rules\",\"hash\":17}' WHERE seq = 2", "event 2: body.hash"},
        {"DELETE FROM text", "event 2: body.text: missing"},
        {"DELETE FROM event WHERE seq = 5", "event 5: missing"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.sql);
        const FreshFolder folder;
        fill(folder / "s.db");
        run_raw(folder / "s.db", row.sql);
        const store::Store store = store::Store::open(folder / "s.db");
        CHECK_THAT(fault_at_reading(store), Catch::StartsWith(row.said));
        std::size_t rows_seen = 0;
        std::size_t bad = 0;
        store.for_each_event_row([&](const store::EventRow& one) {
            ++rows_seen;
            if (one.event) return;
            ++bad;
            CHECK_FALSE(one.fault.empty());
        });
        CHECK(bad + (400 - rows_seen) >= 1);
    }
}

TEST_CASE("Adapters' columns are handed out beside their events, and can be written anew") {
    const FreshFolder folder;
    const record::AdapterEventId id{"0123456789ABCDEF", 3, 70, 4'000'000'000};
    {
        store::Store store = store::Store::open(folder / "s.db");
        record::Event note = noted("n");
        store.append(note);
        record::Event reading = reading_of(id);
        store.append(reading);
    }
    run_raw(folder / "s.db", "UPDATE event SET number = 71, adapter = NULL WHERE seq = 2");
    store::Store store = store::Store::open(folder / "s.db");
    CHECK(store.find(id) == store::Known::unknown);
    std::vector<std::optional<record::AdapterEventId>> seen;
    store.for_each_event_row([&](const store::EventRow& row) { seen.push_back(row.indexed); });
    REQUIRE(seen.size() == 2);
    CHECK_FALSE(seen[0]);
    REQUIRE(seen[1]);
    CHECK(seen[1]->number == 71);
    REQUIRE_FALSE(store.attempt([&] { store.put_event_index(2, id); }));
    CHECK(store.find(id) == store::Known::same);
    CHECK(store.last_number(id.adapter, id.epoch) == 70);
}

TEST_CASE("A snapshot sees one moment while another goes on writing") {
    const FreshFolder folder;
    store::Store writer = store::Store::open(folder / "s.db");
    record::Event event = noted("first");
    writer.append(event);
    const store::Store reader = store::Store::open_to_read(folder / "s.db");
    {
        const store::Transaction at_one_moment = reader.snapshot();
        event = noted("second");
        writer.append(event);
        CHECK(reader.last_sequence() == 1);
        CHECK(writer.last_sequence() == 2);
    }
    CHECK(reader.last_sequence() == 2);
}

TEST_CASE("A store that another program has locked is told as busy") {
    const FreshFolder folder;
    fill(folder / "s.db");
    RawDatabase other(folder / "s.db");
    other.run("PRAGMA locking_mode = EXCLUSIVE; BEGIN IMMEDIATE; UPDATE meta SET value = value; COMMIT;");
    std::string said;
    try {
        (void)store::Store::open_to_read(folder / "s.db");
    } catch (const store::StoreFault& fault) {
        said = fault.what();
    }
    CHECK_THAT(said, Contains("another program holds the store's lock"));
}

TEST_CASE(
    "The store remembers how far it was imported, and goes on in a later series than was given elsewhere") {
    const FreshFolder folder;
    {
        store::Store store = store::Store::open(folder / "s.db");
        CHECK(store.imported_to() == 0);
        REQUIRE_FALSE(store.attempt([&] {
            store.set_imported_to(12);
            store.go_on_after("C");
        }));
        CHECK(store.series() == "D");
        REQUIRE_FALSE(store.attempt([&] { store.go_on_after("B"); }));
        CHECK(store.series() == "D");
        REQUIRE_FALSE(store.attempt([&] { store.go_on_after("D"); }));
        CHECK(store.series() == "E");
    }
    store::Store store = store::Store::open(folder / "s.db");
    CHECK_FALSE(store.was_restored_or_copied());
    CHECK(store.imported_to() == 12);
    CHECK(store.series() == "E");
    CHECK(store.start_new_series() == "F");
}
