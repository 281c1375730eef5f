// `pairmark shelf`: what is in stock and where.
#include <catch2/catch.hpp>

#include "tests/cli/program.hpp"
#include "tests/cli/stock.hpp"

using namespace pairmark;
using namespace pairmark::tests;

namespace {

Run show_shelf(const FreshFolder& folder, const Words& words = {}, const std::string& config = "{}") {
    write_file(folder / "bench.json", config);
    Words all{"shelf", "--config", (folder / "bench.json").string()};
    all.insert(all.end(), words.begin(), words.end());
    return call(all);
}

}  // namespace

TEST_CASE("The shelf is shown while the daemon has the store, without what is void") {
    const FreshFolder folder;
    store::Store store = store::Store::open(folder / "pairmark.db");
    put_labels(store, 1, 3);
    (void)store.void_label(stock_number(2));
    const Run run = show_shelf(folder);
    CHECK(run.status == 0);
    CHECK(run.err.empty());
    const Words lines = lines_of(run.out);
    REQUIRE(lines.size() == 4);
    CHECK_THAT(lines[1], Catch::StartsWith("−1.00 DS") && Catch::Contains("−1.50 −0.50 × 085") &&
                             Catch::Contains("Box 1-01") && Catch::Contains(stock_number(1)));
    CHECK_THAT(lines[2], Catch::StartsWith("−0.50 DS") && Catch::Contains(stock_number(3)));
    CHECK(lines[3] == "2 pairs");
}

TEST_CASE("The shelf near a power, and as CSV") {
    const FreshFolder folder;
    {
        store::Store store = store::Store::open(folder / "pairmark.db");
        put_labels(store, 1, 5);
    }
    const Run near = show_shelf(folder, {"--near", "0", "--within", "0.25"});
    CHECK(near.status == 0);
    CHECK(lines_of(near.out).size() == 4);  // heading, -0.25, 0.00, the count
    const Run csv = show_shelf(folder, {"--csv", "--near", "-1"});
    CHECK(csv.status == 0);
    const Words lines = lines_of(csv.out);
    REQUIRE(lines.size() == 4);  // heading, -1.00, -0.75, -0.50
    CHECK_THAT(lines[1],
               Catch::StartsWith("Box 1-01," + stock_number(1) + ",2026-11-24,-1.00,0.00,,-1.00,,"));
}

TEST_CASE("A shelf that cannot be shown says what and where") {
    struct Row {
        Words words;
        const char* config;
        int status;
        const char* says;
    };
    for (const Row& row : {
             Row{{}, "{}", 1, "there is no store here yet"},
             Row{{}, R"({"database": "no/such/folder.db"})", 1, "there is no such folder"},
             Row{{}, "{", 2, "not JSON"},
             Row{{"--near", "far"}, "{}", 2, "near"},
             Row{{"--near", "99"}, "{}", 2, "near"},
             Row{{"--within", "1"}, "{}", 2, "--near"},
         }) {
        CAPTURE(row.words, row.config);
        const FreshFolder folder;
        const Run run = show_shelf(folder, row.words, row.config);
        CHECK(run.status == row.status);
        CHECK_THAT(run.err, Catch::Contains(row.says));
        CHECK_FALSE(std::filesystem::exists(folder / "pairmark.db"));
    }
}
