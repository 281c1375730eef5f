// Looking into a store that another process may have open.
#include <sqlite3.h>
#include <sys/stat.h>

#include <catch2/catch.hpp>

#include "tests/store/fresh_folder.hpp"

using namespace pairmark;
using namespace pairmark::tests;

namespace {

void put_label(store::Store& store, std::int64_t counter) {
    record::Pair pair;
    pair.id = counter;
    store::Transaction transaction = store.begin();
    store.put_pair(pair);
    store.put_label(pair.id, "A", counter, facts_of("A1-A-0000" + std::to_string(counter)));
    transaction.commit();
}

std::string complaint_at_reading(const std::filesystem::path& path) {
    try {
        (void)store::Store::open_to_read(path);
        return "";
    } catch (const store::StoreFault& fault) {
        return fault.what();
    }
}

void run_sql(const std::filesystem::path& path, const char* sql) {
    sqlite3* database = nullptr;
    REQUIRE(sqlite3_open(path.c_str(), &database) == SQLITE_OK);
    CHECK(sqlite3_exec(database, sql, nullptr, nullptr, nullptr) == SQLITE_OK);
    sqlite3_close(database);
}

}  // namespace

TEST_CASE("A store is looked into while another has it open, and sees what was committed since") {
    const FreshFolder folder;
    store::Store writer = store::Store::open(folder / "a.db");
    put_label(writer, 1);
    const store::Store reader = store::Store::open_to_read(folder / "a.db");
    CHECK(reader.labels().size() == 1);
    CHECK(reader.id() == writer.id());
    put_label(writer, 2);
    CHECK(reader.labels().size() == 2);
    (void)writer.void_label("A1-A-00001");
    CHECK(reader.label("A1-A-00001")->is_void);
}

TEST_CASE("Looking into a store changes nothing in it, and the next start goes on as if nobody had looked") {
    const FreshFolder folder;
    std::string series;
    {
        store::Store writer = store::Store::open(folder / "a.db");
        put_label(writer, 1);
        series = writer.series();
    }
    const std::string before = bytes_of(folder / "a.db");
    const std::string generation = bytes_of(folder / "a.db.generation");
    {
        const store::Store reader = store::Store::open_to_read(folder / "a.db");
        CHECK(reader.labels().size() == 1);
    }
    CHECK(bytes_of(folder / "a.db") == before);
    CHECK(bytes_of(folder / "a.db.generation") == generation);
    const store::Store again = store::Store::open(folder / "a.db");
    CHECK_FALSE(again.was_restored_or_copied());
    CHECK(again.series() == series);
    CHECK(again.labels().size() == 1);
}

TEST_CASE("What only reads cannot write") {
    const FreshFolder folder;
    { (void)store::Store::open(folder / "a.db"); }
    store::Store reader = store::Store::open_to_read(folder / "a.db");
    record::Event event = noted("trial");
    const auto failure = reader.attempt([&] { reader.append(event); });
    REQUIRE(failure);
    CHECK(failure->kind == store::FailureKind::forbidden);
}

TEST_CASE("What is no store to read is refused with its place and the next step, and nothing is made") {
    const FreshFolder folder;
    CHECK_THAT(complaint_at_reading(folder / "none.db"),
               Catch::Contains((folder / "none.db").string()) && Catch::Contains("pairmark run"));
    CHECK_FALSE(std::filesystem::exists(folder / "none.db"));

    { (void)store::Store::open(folder / "a.db"); }
    std::filesystem::create_symlink(folder / "a.db", folder / "link.db");
    CHECK_THAT(complaint_at_reading(folder / "link.db"), Catch::Contains("is a link"));
    std::filesystem::create_directory(folder / "folder.db");
    CHECK_THAT(complaint_at_reading(folder / "folder.db"), Catch::Contains("a folder"));
    REQUIRE(::mkfifo((folder / "pipe.db").c_str(), 0600) == 0);
    CHECK_THAT(complaint_at_reading(folder / "pipe.db"), Catch::Contains("not a plain file"));
    write_file(folder / "text.db", std::string(5000, 'x'));
    CHECK_FALSE(complaint_at_reading(folder / "text.db").empty());
    write_file(folder / "empty.db", "");
    CHECK_THAT(complaint_at_reading(folder / "empty.db"), Catch::Contains("not a store of pairmark"));
    run_sql(folder / "other.db", "CREATE TABLE cake (slices INTEGER)");
    CHECK_THAT(complaint_at_reading(folder / "other.db"), Catch::Contains("not a store of pairmark"));
    run_sql(folder / "a.db", "PRAGMA user_version = 2");
    CHECK_THAT(complaint_at_reading(folder / "a.db"), Catch::Contains("a newer version of the program"));
}
