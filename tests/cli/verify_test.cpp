// `pairmark verify`, `pairmark session import` and `pairmark session show`, as a person runs them.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "host/label/number.hpp"
#include "host/record/json.hpp"
#include "host/store/store.hpp"
#include "tests/cli/program.hpp"
#include "tests/store/raw_sql.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using Catch::Contains;
using nlohmann::json;

namespace {

constexpr const char* noon = "2026-11-24T12:00:00.000Z";

void read_lens(store::Store& store, record::Eye eye, int sphere, std::uint32_t number) {
    record::Event event = reading_of({"0123456789ABCDEF", 1, number, 7});
    auto& lens = std::get<record::ReadingTaken>(event.body).reading.lenses[0];
    lens.eye = eye;
    lens.power = {optics::Dioptre::hundredths(sphere), {}, 0};
    store.append(event);
}

/// A store with events of two kept pairs, the first numbered; its rows are made by `--put-right`.
std::string day_in(const FreshFolder& folder) {
    const std::string database = (folder / "bench.db").string();
    {
        store::Store store = store::Store::open(database);
        for (std::uint32_t pair = 0; pair < 2; ++pair) {
            read_lens(store, record::Eye::right, -125 - 25 * static_cast<int>(pair), 2 * pair + 1);
            read_lens(store, record::Eye::left, -150 - 25 * static_cast<int>(pair), 2 * pair + 2);
        }
        record::Event numbered{
            0, noon,
            record::Numbered{1, label::print_number({"A1", "A", 1}), "A", 1, "2026-11-24", "Box 1-01"}};
        store.append(numbered);
    }
    const Run mended = call({"verify", database, "--put-right"});
    REQUIRE(mended.status == 0);
    REQUIRE_THAT(mended.out, Contains("put right: the number was given, but is not there"));
    return database;
}

std::string session_in(const FreshFolder& folder) {
    const std::string file = (folder / "day.jsonl").string();
    REQUIRE(call({"session", "export", "--database", day_in(folder), "--out", file}).status == 0);
    return file;
}

}  // namespace

TEST_CASE("verify: a store that follows from its events ends with 0, also by its configuration's name") {
    const FreshFolder folder;
    const std::string database = day_in(folder);
    const Run run = call({"verify", database});
    CHECK(run.status == 0);
    CHECK(run.out == "5 events, 2 pairs, 1 numbers: everything follows from the events\n");
    CHECK(run.err.empty());
    write_file(folder / "bench.json", R"({"database": "bench.db"})");
    CHECK(call({"verify", (folder / "bench.json").string()}).status == 0);
    const json whole = json::parse(call({"verify", database, "--json"}).out);
    CHECK(whole["clean"] == true);
    CHECK(whole["events"] == 5);
    CHECK(whole["differences"].empty());
}

TEST_CASE("verify: differences are named, end with 1, and --put-right mends them") {
    const FreshFolder folder;
    const std::string database = day_in(folder);
    run_raw(database, "UPDATE label SET state = 'void'; UPDATE pair SET state = 'open'");
    const std::string before = bytes_of(database);
    const Run run = call({"verify", database});
    CHECK(run.status == 1);
    CHECK(bytes_of(database) == before);
    CHECK_THAT(run.out, Contains("pair 1") && Contains("A1-A-00001") && Contains("--put-right") &&
                            Contains("2 differences"));
    const json whole = json::parse(call({"verify", database, "--json"}).out);
    CHECK(whole["clean"] == false);
    REQUIRE(whole["differences"].size() == 2);
    CHECK(whole["differences"][0]["where"] == "pair 1, table \"pair\"");
    CHECK(whole["differences"][0]["mends"] == true);
    const Run mended = call({"verify", database, "--put-right", "--json"});
    CHECK(mended.status == 0);
    CHECK(json::parse(mended.out)["put_right"].size() == 2);
    CHECK(call({"verify", database}).status == 0);
}

TEST_CASE("verify: what cannot be read ends with 2 and names the page, the event, the lock or the file") {
    const FreshFolder folder;
    const std::string database = day_in(folder);
    const std::string whole = bytes_of(database);

    const std::int64_t page = root_page(database, "label");
    destroy_page(database, page);
    Run run = call({"verify", database});
    CHECK(run.status == 2);
    CHECK_THAT(run.out, Contains("table \"label\"") && Contains("page " + std::to_string(page)));
    CHECK(json::parse(call({"verify", database, "--json"}).out)["damage"].size() >= 1);
    CHECK(call({"verify", database, "--put-right"}).status == 2);

    write_file(database, whole);
    run_raw(database, "UPDATE event SET body = 'nonsense' WHERE seq = 3");
    run = call({"verify", database});
    CHECK(run.status == 2);
    CHECK_THAT(run.out, Contains("event 3: its body is not JSON") && Contains("cannot be read"));

    write_file(database, whole);
    {
        RawDatabase other(database);
        other.run("PRAGMA locking_mode = EXCLUSIVE; BEGIN IMMEDIATE; UPDATE meta SET value = value; COMMIT;");
        run = call({"verify", database});
        CHECK(run.status == 2);
        CHECK_THAT(run.err, Contains("another program holds the store's lock") && Contains(database));
    }
    {
        const store::Store held = store::Store::open(database);
        CHECK(call({"verify", database}).status == 0);
        run = call({"verify", database, "--put-right"});
        CHECK(run.status == 2);
        CHECK_THAT(run.err, Contains("in use by another process"));
    }
    destroy_page(database, 1);
    run = call({"verify", database});
    CHECK(run.status == 2);
    CHECK(lines_of(run.err).size() == 1);

    for (const std::string name : {"none.db", "none.json"}) {
        CAPTURE(name);
        run = call({"verify", (folder / name).string(), "--put-right"});
        CHECK(run.status == 2);
        CHECK_THAT(run.err, Catch::StartsWith("pairmark: ") && Contains(name));
        CHECK_FALSE(std::filesystem::exists(folder / name));
    }
}

TEST_CASE("session import: an exported day becomes a store, once, and the store is clean") {
    const FreshFolder folder;
    const std::string file = session_in(folder);
    const std::string target = (folder / "other.db").string();
    const Run run = call({"session", "import", file, "--database", target});
    CHECK(run.status == 0);
    CHECK_THAT(run.out,
               Contains("5 events added, 0 were there; now 2 pairs, 1 numbers") && Contains("series B") &&
                   Contains("kept pairs without a label, which belongs to the bench that measured them: 1"));
    CHECK(call({"verify", target}).status == 0);
    const std::string events = call({"session", "show", target, "--json"}).out;
    const Run again = call({"session", "import", file, "--database", target});
    CHECK(again.status == 0);
    CHECK_THAT(again.out, Contains("all 5 events are in the store already; nothing was changed"));
    CHECK(call({"session", "show", target, "--json"}).out == events);
    CHECK(call({"session", "show", file, "--json"}).out == events);
}

TEST_CASE("session import: a file that was cut or changed is refused with its line, and makes no store") {
    const FreshFolder folder;
    const std::string file = session_in(folder);
    const std::string whole = bytes_of(file);
    const std::string bad = (folder / "bad.jsonl").string();
    std::string changed = whole;
    changed.replace(changed.find("-1.25"), 5, "-1.75");
    for (const std::string& bytes : {std::string(), std::string("garbage\n"), changed, whole + "{}\n",
                                     whole.substr(0, whole.size() / 2), whole.substr(0, whole.size() - 1)}) {
        CAPTURE(bytes.size());
        write_file(bad, bytes);
        const Run run = call({"session", "import", bad, "--database", (folder / "other.db").string()});
        CHECK(run.status == 2);
        CHECK(lines_of(run.err).size() == 1);
        CHECK_THAT(run.err, Contains("bad.jsonl: line ") && Contains("nothing was imported"));
        CHECK_FALSE(std::filesystem::exists(folder / "other.db"));
    }
    const Run missing = call({"session", "import", (folder / "none").string(), "--database", "x.db"});
    CHECK(missing.status == 2);
    CHECK_THAT(missing.err, Contains("cannot read"));
}

TEST_CASE("session import: a store with events of its own, or one that a daemon has, takes nothing") {
    const FreshFolder folder;
    const std::string file = session_in(folder);
    const std::string target = (folder / "other.db").string();
    {
        store::Store store = store::Store::open(target);
        record::Event note = noted("own");
        store.append(note);
        const Run busy = call({"session", "import", file, "--database", target});
        CHECK(busy.status == 1);
        CHECK_THAT(busy.err, Contains("in use by another process"));
    }
    const Run run = call({"session", "import", file, "--database", target});
    CHECK(run.status == 1);
    CHECK_THAT(run.err,
               Contains("line 2 of the session is not the event 1") && Contains("name another database"));
    CHECK(store::Store::open(target).last_sequence() == 1);
}

TEST_CASE("session show: a line an event, from a file or a database, also one that a daemon has open") {
    const FreshFolder folder;
    const std::string file = session_in(folder);
    const store::Store held = store::Store::open(folder / "bench.db");
    const Run of_file = call({"session", "show", file});
    CHECK(of_file.status == 0);
    CHECK(call({"session", "show", (folder / "bench.db").string()}).out == of_file.out);
    const Words lines = lines_of(of_file.out);
    REQUIRE(lines.size() == 5);
    CHECK_THAT(lines[1], Contains("L −1.50 DS") && Contains("> pair 1 decided, keep"));
    CHECK_THAT(lines[4],
               Contains("numbered") && Contains("pair 1 gets label A1-A-00001") && Contains("labelled"));
    const Run none = call({"session", "show", (folder / "none").string()});
    CHECK(none.status == 2);
    CHECK_THAT(none.err, Catch::StartsWith("pairmark: ") && Contains("none"));
}

TEST_CASE("session show: a damaged event ends it with its number, after the lines before it") {
    const FreshFolder folder;
    const std::string database = day_in(folder);
    run_raw(database, "UPDATE event SET body = 'nonsense' WHERE seq = 3");
    const Run run = call({"session", "show", database});
    CHECK(run.status == 2);
    CHECK(lines_of(run.out).size() == 2);
    CHECK_THAT(run.err, Contains("event 3: its body is not JSON"));
}
