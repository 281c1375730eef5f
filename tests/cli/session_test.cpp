// `pairmark session export` and `pairmark replay`: a day carried away and played again.
#include "host/store/session.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "host/grading/rules.hpp"
#include "tests/cli/program.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using nlohmann::json;

namespace {

void read_lens(store::Store& store, record::Eye eye, int sphere, int cylinder) {
    static std::uint32_t number = 0;
    record::Event event = reading_of({"0123456789ABCDEF", 1, ++number, 7});
    auto& lens = std::get<record::ReadingTaken>(event.body).reading.lenses[0];
    lens.eye = eye;
    lens.power = {optics::Dioptre::hundredths(sphere), optics::Dioptre::hundredths(cylinder),
                  cylinder == 0 ? 0.0 : 90.0};
    store.append(event);
}

/// A store with two pairs: plain ones, and ones with a cylinder of -1.00.
void fill(const std::filesystem::path& database) {
    store::Store store = store::Store::open(database);
    for (const int cylinder : {0, -100}) {
        read_lens(store, record::Eye::right, -125 + cylinder, cylinder);
        read_lens(store, record::Eye::left, -150 + cylinder, cylinder);
    }
}

Words export_words(const FreshFolder& folder) {
    return {"session",    "export",
            "--database", (folder / "bench.db").string(),
            "--out",      (folder / "day.jsonl").string()};
}

std::string exported_day(const FreshFolder& folder) {
    fill(folder / "bench.db");
    REQUIRE(call(export_words(folder)).status == 0);
    return (folder / "day.jsonl").string();
}

/// One sentence for a person: a line, begun by the program's name, with the file's.
void check_one_sentence(const Run& run, const std::string& file) {
    CHECK(run.status == 2);
    CHECK(run.out.empty());
    CHECK(lines_of(run.err).size() == 1);
    CHECK_THAT(run.err, Catch::StartsWith("pairmark: ") && Catch::Contains(file));
}

}  // namespace

TEST_CASE("A store is exported to a file, and the file alone is played again") {
    const FreshFolder folder;
    const std::string day = exported_day(folder);
    CHECK_FALSE(std::filesystem::exists(day + ".part"));
    std::filesystem::remove(folder / "bench.db");
    const Run run = call({"replay", day});
    CHECK(run.status == 0);
    CHECK_THAT(run.out, Catch::Contains("4 readings, 2 pairs: 2 keep, 0 discard, 0 ask; 0 labels"));
    const json whole = json::parse(call({"replay", day, "--json"}).out);
    CHECK(whole["readings"] == 4);
    REQUIRE(whole["all"].size() == 2);
    CHECK(whole["all"][1]["verdict"]["verdict"] == "keep");
}

TEST_CASE("Other rules show what would change, and broken ones end with status 2") {
    const FreshFolder folder;
    const std::string day = exported_day(folder);
    const std::string rules = (folder / "rules.json").string();
    write_file(rules, R"({"name":"N","date":"2026-01-01","rules":[{"id":"cylinder",
        "when":{"quantity":"cylinder","lens":"either","over":0.5},"verdict":"discard","say":"Too strong"}]})");
    const Run run = call({"replay", day, "--rules", rules});
    CHECK(run.status == 0);
    CHECK_THAT(run.out, Catch::Contains("keep -> discard") && Catch::Contains("1 pairs would change"));
    const json whole = json::parse(call({"replay", day, "--rules", rules, "--json"}).out);
    REQUIRE(whole["changes"].size() == 1);
    CHECK(whole["changes"][0]["pair"] == 2);
    write_file(rules, "{}");
    const Run broken = call({"replay", day, "--rules", rules});
    CHECK(broken.status == 2);
    CHECK(broken.out.empty());
}

TEST_CASE("A session that is missing, garbage, changed or cut anywhere is refused in one clear sentence") {
    const FreshFolder folder;
    const std::string day = exported_day(folder);
    const std::string whole = bytes_of(day);
    check_one_sentence(call({"replay", (folder / "none.jsonl").string()}), "none.jsonl");
    const std::string bad = (folder / "bad.jsonl").string();
    std::string changed = whole;
    changed.replace(changed.find("-1.25"), 5, "-1.75");
    for (const std::string& bytes :
         {std::string(), std::string("garbage\n"), std::string("\xff\x00\x01", 3), std::string("{}\n"),
          changed, whole + "{}\n", whole.substr(0, whole.size() / 2), whole.substr(0, whole.size() - 1),
          whole.substr(0, whole.find('\n') + 1)}) {
        CAPTURE(bytes.size());
        write_file(bad, bytes);
        check_one_sentence(call({"replay", bad}), "bad.jsonl");
    }
    check_one_sentence(call({"replay", "/"}), "/");
}

TEST_CASE("An export without a database says which is missing, and makes none") {
    const FreshFolder folder;
    const Run run = call(export_words(folder));
    CHECK(run.status == 1);
    CHECK_THAT(run.err, Catch::Contains("there is no database " + (folder / "bench.db").string()) &&
                            Catch::Contains("configuration"));
    CHECK_FALSE(std::filesystem::exists(folder / "bench.db"));
    CHECK_FALSE(std::filesystem::exists(folder / "day.jsonl"));
}

TEST_CASE("An export beside a running daemon is whole, and the daemon goes on") {
    const FreshFolder folder;
    fill(folder / "bench.db");
    store::Store held = store::Store::open(folder / "bench.db");
    read_lens(held, record::Eye::right, -125, 0);
    REQUIRE(call(export_words(folder)).status == 0);
    read_lens(held, record::Eye::left, -150, 0);
    CHECK(json::parse(call({"replay", (folder / "day.jsonl").string(), "--json"}).out)["readings"] == 5);
    CHECK(held.last_sequence() == 6);
}

TEST_CASE("An export of a copied store gives it no new series") {
    const FreshFolder folder;
    fill(folder / "bench.db");
    std::filesystem::create_directory(folder / "elsewhere");
    std::filesystem::copy_file(folder / "bench.db", folder / "elsewhere/bench.db");
    const std::string before = bytes_of(folder / "elsewhere/bench.db");
    REQUIRE(call({"session", "export", "--database", (folder / "elsewhere/bench.db").string(), "--out",
                  (folder / "day.jsonl").string()})
                .status == 0);
    CHECK(bytes_of(folder / "elsewhere/bench.db") == before);
}

TEST_CASE("An export that cannot be written leaves no half file under the name") {
    const FreshFolder folder;
    fill(folder / "bench.db");
    const Run run = call({"session", "export", "--database", (folder / "bench.db").string(), "--out",
                          (folder / "no folder/day.jsonl").string()});
    CHECK(run.status == 1);
    CHECK_THAT(run.err, Catch::Contains("cannot write") && Catch::Contains("free space"));
}
