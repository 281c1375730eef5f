// `pairmark run` before it runs: what is wrong is said, with its place and the next step.
#include <unistd.h>

#include <catch2/catch.hpp>

#include "tests/cli/program.hpp"

using namespace pairmark;
using namespace pairmark::tests;

namespace {

Run run_with(const FreshFolder& folder, const std::string& config, Words words = {"--allow-root"}) {
    write_file(folder / "bench.json", config);
    Words all{"run", "--config", (folder / "bench.json").string()};
    all.insert(all.end(), words.begin(), words.end());
    return call(all);
}

}  // namespace

TEST_CASE("A configuration in order is called so, and nothing is made for it") {
    const FreshFolder folder;
    const Run run = run_with(folder, "{}", {"--check"});
    CHECK(run.status == 0);
    CHECK_THAT(run.out, Catch::Contains("in order"));
    CHECK_FALSE(std::filesystem::exists(folder / "pairmark.db"));
    CHECK_FALSE(std::filesystem::exists(folder / "labels"));
}

TEST_CASE("A broken configuration ends with status 2 and the mistake's place") {
    struct Row {
        const char* config;
        const char* place;
    };
    for (const Row& row : {Row{"{", "line 1"}, Row{R"({"late_seconds": 0})", "/late_seconds"},
                           Row{R"({"boxes": {"slot": 3}})", "/boxes/slot"},
                           Row{R"({"label": {"size": "200x100"}})", "/label/size"},
                           Row{R"({"label": {"extra": "\u773c"}})", "/label/extra"},
                           Row{R"({"bnech": "A1"})", "bench, boxes"}}) {
        CAPTURE(row.config);
        const FreshFolder folder;
        const Run run = run_with(folder, row.config);
        CHECK(run.status == 2);
        CHECK_THAT(run.err, Catch::Contains("bench.json") && Catch::Contains(row.place));
        CHECK_FALSE(std::filesystem::exists(folder / "pairmark.db"));
    }
    const Run missing = call({"run", "--config", "/nowhere/bench.json"});
    CHECK(missing.status == 2);
    CHECK_THAT(missing.err, Catch::Contains("/nowhere/bench.json"));
}

TEST_CASE("Rules and profiles are looked over before the day begins") {
    const FreshFolder folder;
    write_file(folder / "rules.json", R"({"name": "N"})");
    write_file(folder / "profile.json", R"({"profile": 2})");
    for (const char* what : {"rules", "profile"}) {
        CAPTURE(what);
        const Run bad = run_with(folder, std::string("{\"") + what + "\": \"" + what + ".json\"}");
        CHECK(bad.status != 0);
        CHECK(bad.status != 124);
        CHECK_THAT(bad.err, Catch::Contains((folder / (std::string(what) + ".json")).string()));
        const Run none = run_with(folder, std::string("{\"") + what + "\": \"none.json\"}");
        CHECK(none.status != 0);
        CHECK(none.status != 124);
        CHECK_THAT(none.err,
                   Catch::Contains((folder / "none.json").string()) && Catch::Contains("permissions"));
    }
    CHECK_FALSE(std::filesystem::exists(folder / "pairmark.db"));
}

TEST_CASE("A second daemon on the same store is refused with a clear word") {
    const FreshFolder folder;
    const store::Store held = store::Store::open(folder / "pairmark.db");
    const Run run = run_with(folder, "{}");
    CHECK(run.status == 1);
    CHECK_THAT(run.err, Catch::Contains("in use") && Catch::Contains((folder / "pairmark.db").string()));
    CHECK(lines_of(run.err).size() == 1);
}

TEST_CASE("A board that does not answer is named, with what to start first") {
    const FreshFolder folder;
    const Run run = run_with(folder, "{}", {"--allow-root", "--board-time", (folder / "board").string()});
    CHECK(run.status == 1);
    CHECK_THAT(run.err, Catch::Contains((folder / "board").string()) && Catch::Contains("start it first"));
}

TEST_CASE("The superuser is turned away unless told otherwise") {
    const FreshFolder folder;
    const store::Store held = store::Store::open(folder / "pairmark.db");  // so that it never runs on
    const Run run = run_with(folder, "{}", {});
    CHECK(run.status == (geteuid() == 0 ? 2 : 1));
    CHECK_THAT(run.err, Catch::Contains(geteuid() == 0 ? "--allow-root" : "in use"));
}
