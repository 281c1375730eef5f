#include <sqlite3.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>

#include "tests/store/fresh_folder.hpp"

using namespace pairmark;
using store::FailureKind;
using store::Store;
using tests::complaint_at_opening;
using tests::noted;

namespace {

mode_t rights_of(const std::filesystem::path& file) {
    struct stat status {};
    return ::stat(file.c_str(), &status) == 0 ? status.st_mode & 07777 : 0;
}

void run_sql(const std::filesystem::path& file, const char* sql) {
    sqlite3* database = nullptr;
    REQUIRE(sqlite3_open(file.c_str(), &database) == SQLITE_OK);
    CHECK(sqlite3_exec(database, sql, nullptr, nullptr, nullptr) == SQLITE_OK);
    sqlite3_close(database);
}

/// Runs `work` in a child that ends without any clean-up.
template <typename Work>
void in_a_child_that_is_cut_off(Work work) {
    const pid_t child = ::fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        try {
            work();
        } catch (...) {
            ::_exit(1);
        }
        ::_exit(0);
    }
    int status = 0;
    REQUIRE(::waitpid(child, &status, 0) == child);
    REQUIRE(WIFEXITED(status));
    REQUIRE(WEXITSTATUS(status) == 0);
}

}  // namespace

TEST_CASE("What a process did not commit before it was cut off is gone, what it did is there") {
    const tests::FreshFolder folder;
    const auto path = folder / "s.db";
    in_a_child_that_is_cut_off([&path] {
        Store opened = Store::open(path);
        for (int i = 0; i < 2; ++i) {
            store::Transaction transaction = opened.begin();
            record::Event event = noted("kept");
            opened.append(event);
            transaction.commit();
        }
        const store::Transaction open_ended = opened.begin();
        record::Event event = noted("lost");
        opened.append(event);
        record::Pair pair;
        pair.id = 1;
        opened.put_pair(pair);
        opened.put_label(1, "A", 1, tests::facts_of("K-A-1"));
        ::_exit(0);
    });
    Store opened = Store::open(path);
    CHECK(opened.last_sequence() == 2);
    CHECK(opened.labels().empty());
    CHECK(opened.next_counter("A") == 1);
    CHECK_FALSE(opened.was_restored_or_copied());
    record::Event next = noted("next");
    CHECK(opened.append(next) == 3);
}

TEST_CASE("Killed at any moment, a store keeps whole transactions, and every one that was told as done") {
    const tests::FreshFolder folder;
    const auto path = folder / "s.db";
    std::int64_t told = 0;
    for (int kill_after = 1; kill_after <= 25; ++kill_after) {
        std::array<int, 2> pipe_ends{};
        REQUIRE(::pipe(pipe_ends.data()) == 0);
        const pid_t child = ::fork();
        REQUIRE(child >= 0);
        if (child == 0) {
            try {
                Store opened = Store::open(path);
                for (;;) {
                    store::Transaction transaction = opened.begin();
                    for (int i = 0; i < 3; ++i) {
                        record::Event event = noted("one of three");
                        opened.append(event);
                    }
                    transaction.commit();
                    if (::write(pipe_ends[1], "k", 1) != 1) ::_exit(1);
                }
            } catch (...) {
                ::_exit(1);
            }
        }
        ::close(pipe_ends[1]);
        char byte = 0;
        for (int i = 0; i < kill_after; ++i) {
            REQUIRE(::read(pipe_ends[0], &byte, 1) == 1);
            told += 3;
        }
        ::kill(child, SIGKILL);
        REQUIRE(::waitpid(child, nullptr, 0) == child);
        while (::read(pipe_ends[0], &byte, 1) == 1) {
            told += 3;
        }
        ::close(pipe_ends[0]);
        const Store opened = Store::open(path);
        INFO("killed after " << kill_after << " acknowledged transactions");
        REQUIRE(opened.last_sequence() % 3 == 0);
        REQUIRE(opened.last_sequence() >= told);
        told = opened.last_sequence();
    }
}

TEST_CASE("A second opener is refused in a sentence that names the first, and let in once that one is gone") {
    const tests::FreshFolder folder;
    const auto path = folder / "s.db";
    {
        const Store first = Store::open(path);
        const std::string said = complaint_at_opening(path);
        CHECK_THAT(said, Catch::StartsWith("the store is in use by another process, number " +
                                           std::to_string(::getpid())));
        CHECK_THAT(said, Catch::Contains("stop that one first"));
        in_a_child_that_is_cut_off([&path] {
            if (complaint_at_opening(path).empty()) throw std::runtime_error("a second process got in");
        });
        CHECK(first.last_sequence() == 0);
    }
    CHECK(complaint_at_opening(path).empty());
    in_a_child_that_is_cut_off([&path] {
        const Store opened = Store::open(path);
        ::_exit(0);  // holds the lock to its end
    });
    CHECK(complaint_at_opening(path).empty());
}

TEST_CASE("Every file of a store is readable by its user alone, also where an older one was open to others") {
    const tests::FreshFolder folder;
    const auto path = folder / "s.db";
    const mode_t before = ::umask(0);
    {
        Store opened = Store::open(path);
        record::Event event = noted("something");
        opened.append(event);
        for (const char* suffix : {"", "-wal", "-shm", ".lock", ".generation"}) {
            INFO(suffix);
            CHECK(rights_of(folder / (std::string("s.db") + suffix)) == 0600);
        }
    }
    ::umask(before);
    REQUIRE(::chmod(path.c_str(), 0644) == 0);
    CHECK(complaint_at_opening(path).empty());
    CHECK(rights_of(path) == 0600);
}

TEST_CASE("A link in the place of any of the store's files is refused and not followed") {
    for (const char* suffix : {"", "-wal", "-shm", "-journal", ".lock", ".generation"}) {
        INFO(suffix);
        const tests::FreshFolder folder;
        const auto victim = folder / "victim";
        tests::write_file(victim, "not to be touched");
        if (*suffix != '\0') CHECK(complaint_at_opening(folder / "s.db").empty());
        const auto link = folder / (std::string("s.db") + suffix);
        std::filesystem::remove(link);
        std::filesystem::create_symlink(victim, link);
        CHECK_THAT(complaint_at_opening(folder / "s.db"), Catch::StartsWith("the store's file is a link ("));
        CHECK(tests::bytes_of(victim) == "not to be touched");
    }
}

TEST_CASE("A store in a folder that is reached through a link is opened") {
    const tests::FreshFolder folder;
    std::filesystem::create_directory(folder / "real");
    std::filesystem::create_directory_symlink(folder / "real", folder / "link");
    CHECK(complaint_at_opening(folder / "link/s.db").empty());
    CHECK(std::filesystem::exists(folder / "real/s.db"));
}

TEST_CASE("What is not a store is refused in a sentence, and left as it is") {
    const tests::FreshFolder folder;
    CHECK_THAT(complaint_at_opening(folder / "none/s.db"), Catch::StartsWith("there is no such folder"));
    std::filesystem::create_directory(folder / "dir.db");
    CHECK_THAT(complaint_at_opening(folder / "dir.db"), Catch::StartsWith("there is a folder in the place"));
    REQUIRE(::mkfifo((folder / "fifo.db").c_str(), 0600) == 0);
    CHECK_THAT(complaint_at_opening(folder / "fifo.db"),
               Catch::StartsWith("the store's file is not a plain file"));

    const std::string prose(5000, 'p');
    tests::write_file(folder / "prose.db", prose);
    CHECK_THAT(complaint_at_opening(folder / "prose.db"), Catch::StartsWith("the store is damaged"));
    CHECK(tests::bytes_of(folder / "prose.db") == prose);

    run_sql(folder / "other.db", "CREATE TABLE birds (name TEXT)");
    CHECK_THAT(complaint_at_opening(folder / "other.db"),
               Catch::StartsWith("this database is not a store of pairmark"));
}

TEST_CASE(
    "A store that a newer version wrote is refused by the number of its form, and works again with its own") {
    const tests::FreshFolder folder;
    const auto path = folder / "s.db";
    CHECK(complaint_at_opening(path).empty());
    run_sql(path, "PRAGMA user_version = 2");
    CHECK_THAT(
        complaint_at_opening(path),
        Catch::StartsWith("a newer version of the program wrote this store (form 2; this one knows form 1)"));
    run_sql(path, "PRAGMA user_version = 1");
    CHECK(complaint_at_opening(path).empty());
}

TEST_CASE(
    "A full disk is a value with a name, nothing of the transaction is kept, and the store goes on later") {
    const tests::FreshFolder folder;
    Store opened = Store::open(folder / "s.db");
    record::Event first = noted("first");
    opened.append(first);
    opened.limit_size(1);  // no page more
    const auto failure = opened.attempt([&opened] {
        record::Event small = noted("second");
        opened.append(small);
        record::Event large = noted("third", std::string(500'000, 'x'));
        opened.append(large);
    });
    REQUIRE(failure);
    CHECK(failure->kind == FailureKind::disk_full);
    CHECK_THAT(failure->what(), Catch::StartsWith("there is no room for the store"));
    CHECK_THAT(failure->what(), Catch::EndsWith("free some space on this disk"));
    CHECK(opened.last_sequence() == 1);
    opened.limit_size(100'000'000);
    CHECK_FALSE(opened.attempt([&opened] {
        record::Event second = noted("second");
        CHECK(opened.append(second) == 2);
    }));
    CHECK(opened.last_sequence() == 2);
}

TEST_CASE("Another program's lock on the database is waited for, then named") {
    const tests::FreshFolder folder;
    Store opened = Store::open(folder / "s.db");
    sqlite3* other = nullptr;
    REQUIRE(sqlite3_open((folder / "s.db").c_str(), &other) == SQLITE_OK);
    REQUIRE(sqlite3_exec(other, "BEGIN IMMEDIATE", nullptr, nullptr, nullptr) == SQLITE_OK);
    const auto failure = opened.attempt([] {});
    REQUIRE(failure);
    CHECK(failure->kind == FailureKind::busy);
    CHECK_THAT(failure->what(), Catch::StartsWith("another program holds the store's lock"));
    REQUIRE(sqlite3_exec(other, "ROLLBACK", nullptr, nullptr, nullptr) == SQLITE_OK);
    CHECK_FALSE(opened.attempt([] {}));
    sqlite3_close(other);
}

TEST_CASE("A damaged page is named when it is read") {
    const tests::FreshFolder folder;
    const auto path = folder / "s.db";
    {
        Store opened = Store::open(path);
        store::Transaction transaction = opened.begin();
        for (int i = 0; i < 200; ++i) {
            record::Event event = noted("n", std::string(500, 'x'));
            opened.append(event);
        }
        transaction.commit();
    }
    std::string bytes = tests::bytes_of(path);
    REQUIRE(bytes.size() > 60'000);
    for (std::size_t page = 4096 * 12; page + 4096 <= bytes.size(); page += 4096) {
        std::fill_n(bytes.begin() + static_cast<std::ptrdiff_t>(page), 16, '\xAA');
    }
    tests::write_file(path, bytes);
    const Store opened = Store::open(path);
    try {
        opened.for_each_event([](const record::Event&) {});
        FAIL("the damage was not seen");
    } catch (const store::StoreFailure& failure) {
        CHECK(failure.kind == FailureKind::damaged);
    }
}

TEST_CASE("A transaction inside another, and a commit after the commit, are mistakes of the caller") {
    const tests::FreshFolder folder;
    Store opened = Store::open(folder / "s.db");
    store::Transaction transaction = opened.begin();
    CHECK_THROWS_AS(opened.begin(), std::logic_error);
    transaction.commit();
    CHECK_THROWS_AS(transaction.commit(), std::logic_error);
}

TEST_CASE("An exception that is not the store's own passes through an attempt, and nothing is kept") {
    const tests::FreshFolder folder;
    Store opened = Store::open(folder / "s.db");
    const auto work = [&opened] {
        record::Event event = noted("lost");
        opened.append(event);
        throw std::invalid_argument("something else");
    };
    CHECK_THROWS_AS(opened.attempt(work), std::invalid_argument);
    CHECK(opened.last_sequence() == 0);
}

TEST_CASE("A store can be moved and goes on") {
    const tests::FreshFolder folder;
    Store first = Store::open(folder / "s.db");
    record::Event event = noted("something");
    first.append(event);
    Store second = std::move(first);
    CHECK(second.last_sequence() == 1);
    CHECK(second.id().size() == 16);
    CHECK_FALSE(complaint_at_opening(folder / "s.db").empty());
}
