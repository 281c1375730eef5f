#include <catch2/catch.hpp>

#include "host/store/generation.hpp"
#include "tests/store/fresh_folder.hpp"

using namespace pairmark;
using store::Store;
namespace fs = std::filesystem;

namespace {

bool is_foreign(const fs::path& path) {
    return Store::open(path).was_restored_or_copied();
}

/// Puts a file's bytes in the place of another, whose inode stays.
void put_back(const fs::path& copy, const fs::path& original) {
    tests::write_file(original, tests::bytes_of(copy));
}

}  // namespace

TEST_CASE("Series follow one another as columns of a sheet do") {
    const std::vector<std::pair<std::string, std::string>> rows{
        {"A", "B"}, {"Y", "Z"}, {"Z", "AA"}, {"AA", "AB"}, {"AZ", "BA"}, {"ZZ", "AAA"}, {"BZZ", "CAA"}};
    for (const auto& [series, next] : rows) {
        CHECK(store::next_series(series) == next);
        CHECK(store::later_series(series, next) == next);
        CHECK(store::later_series(next, series) == next);
    }
    CHECK(store::later_series("B", "B") == "B");
}

TEST_CASE("A store that goes on is not taken for a copy, however often it is opened") {
    const tests::FreshFolder folder;
    const auto path = folder / "s.db";
    for (int i = 0; i < 5; ++i) {
        CHECK_FALSE(is_foreign(path));
    }
    CHECK(Store::open(path).series() == "A");
    fs::create_directory(folder / "elsewhere");
    for (const char* suffix : {"", ".generation"}) {
        fs::rename(folder / (std::string("s.db") + suffix),
                   folder / (std::string("elsewhere/s.db") + suffix));
    }
    CHECK_FALSE(is_foreign(folder / "elsewhere/s.db"));  // moved, not copied
}

TEST_CASE("Each opening draws another generation") {
    const tests::FreshFolder folder;
    const auto path = folder / "s.db";
    CHECK_FALSE(is_foreign(path));
    const auto first = store::read_generation(folder / "s.db.generation");
    CHECK_FALSE(is_foreign(path));
    const auto second = store::read_generation(folder / "s.db.generation");
    REQUIRE(first);
    REQUIRE(second);
    CHECK(first->current != second->current);
    CHECK_FALSE(second->before);
}

TEST_CASE("A store that was put back from a copy says so until it begins a new series") {
    const tests::FreshFolder folder;
    const auto path = folder / "s.db";
    const auto copy = folder / "copy";
    CHECK_FALSE(is_foreign(path));
    fs::copy_file(path, copy);
    CHECK_FALSE(is_foreign(path));  // went on after the copy
    put_back(copy, path);
    CHECK(is_foreign(path));
    CHECK(is_foreign(path));  // also at the next opening
    {
        Store opened = Store::open(path);
        CHECK(opened.start_new_series() == "B");
        CHECK_FALSE(opened.was_restored_or_copied());
        CHECK(opened.series() == "B");
    }
    CHECK_FALSE(is_foreign(path));
    CHECK(Store::open(path).series() == "B");

    put_back(copy, path);  // the same copy again: B may be out on envelopes
    Store opened = Store::open(path);
    CHECK(opened.was_restored_or_copied());
    CHECK(opened.start_new_series() == "C");
}

TEST_CASE("A database that was copied with its generation file, without it, or left it behind, says so") {
    const tests::FreshFolder folder;
    const auto path = folder / "s.db";
    record::Event event = tests::noted("kept");
    (void)Store::open(path).append(event);
    CHECK_FALSE(is_foreign(path));
    fs::create_directory(folder / "both");
    fs::copy_file(path, folder / "both/s.db");
    fs::copy_file(folder / "s.db.generation", folder / "both/s.db.generation");
    CHECK(is_foreign(folder / "both/s.db"));
    fs::copy_file(path, folder / "alone.db");
    CHECK(is_foreign(folder / "alone.db"));

    CHECK_FALSE(is_foreign(path));
    fs::remove(path);  // only the generation file tells that numbers of series A are out
    Store fresh = Store::open(path);
    CHECK(fresh.was_restored_or_copied());
    CHECK(fresh.start_new_series() == "B");
}

TEST_CASE("A very first start that was cut before it wrote the generation file is not taken for a copy") {
    const tests::FreshFolder folder;
    const auto path = folder / "s.db";
    (void)Store::open(path);
    fs::remove(folder / "s.db.generation");
    {
        Store again = Store::open(path);
        CHECK_FALSE(again.was_restored_or_copied());
        CHECK(again.series() == "A");
        record::Event event = tests::noted("kept");
        (void)again.append(event);
    }
    CHECK_FALSE(is_foreign(path));
    // From the first event on, the file's absence tells something.
    fs::remove(folder / "s.db.generation");
    CHECK(is_foreign(path));
}

TEST_CASE("A generation file that cannot be understood counts as another store's") {
    for (const char* bytes :
         {"", "pairmark-generation", "pairmark-generation 2 0123456789ABCDEF - 1 A\n",
          "pairmark-generation 1 xyz - 1 A\n", "pairmark-generation 1 0123456789ABCDEF - 1 a\n"}) {
        INFO(bytes);
        const tests::FreshFolder folder;
        CHECK_FALSE(is_foreign(folder / "s.db"));
        tests::write_file(folder / "s.db.generation", bytes);
        CHECK(is_foreign(folder / "s.db"));
        CHECK(Store::open(folder / "s.db").start_new_series() == "B");
    }
}

TEST_CASE("A cut between the writing of the generation file and of the database is not taken for a copy") {
    const tests::FreshFolder folder;
    const auto path = folder / "s.db";
    const auto file = folder / "s.db.generation";
    CHECK_FALSE(is_foreign(path));
    auto generation = store::read_generation(file);
    REQUIRE(generation);
    // The file was written, the database was not.
    generation->before = generation->current;
    generation->current = "FEDCBA9876543210";
    store::write_generation(file, *generation);
    CHECK_FALSE(is_foreign(path));
    // The database was written, the file's second writing did not come.
    generation = store::read_generation(file);
    REQUIRE(generation);
    generation->before = "FEDCBA9876543210";
    store::write_generation(file, *generation);
    CHECK_FALSE(is_foreign(path));
    CHECK_FALSE(store::read_generation(file)->before);
}
