// `pairmark sheet`: labels on A4 sheets, each on one sheet only.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "tests/cli/program.hpp"
#include "tests/cli/stock.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using nlohmann::json;

namespace {

Run make_sheets(const FreshFolder& folder, const Words& words = {}, const std::string& config = "{}") {
    write_file(folder / "bench.json", config);
    Words all{"sheet", "--config", (folder / "bench.json").string()};
    all.insert(all.end(), words.begin(), words.end());
    return call(all);
}

std::string sheet(const FreshFolder& folder, const std::string& file) {
    return bytes_of(folder / ("labels/sheets/sheet-" + file));
}

bool is_there(const FreshFolder& folder, const std::string& file) {
    return std::filesystem::exists(folder / ("labels/sheets/sheet-" + file));
}

/// The numbers of a sheet's list.
Words listed(const FreshFolder& folder, const std::string& name) {
    const json list = json::parse(sheet(folder, name + ".json"), nullptr, false);
    return list.is_object() ? list["labels"].get<Words>() : Words{};
}

}  // namespace

TEST_CASE("Labels go onto a sheet once, also while the daemon has the store, and new ones go onto the next") {
    const FreshFolder folder;
    store::Store store = store::Store::open(folder / "pairmark.db");
    put_labels(store, 1, 3);
    const Run first = make_sheets(folder);
    CHECK(first.status == 0);
    CHECK_THAT(first.out, Catch::Contains("sheet-0001.pdf: 3 labels"));
    CHECK(listed(folder, "0001") == Words{stock_number(1), stock_number(2), stock_number(3)});
    CHECK(sheet(folder, "0001.pdf").rfind("%PDF-", 0) == 0);
    const std::string before = sheet(folder, "0001.pdf");

    const Run again = make_sheets(folder);
    CHECK(again.status == 0);
    CHECK_THAT(again.out, Catch::Contains("no label waits"));
    CHECK_FALSE(is_there(folder, "0002.json"));

    put_labels(store, 4, 4);
    CHECK(make_sheets(folder).status == 0);
    CHECK(listed(folder, "0002") == Words{stock_number(4)});
    CHECK(sheet(folder, "0001.pdf") == before);
}

TEST_CASE("A full page begins the next, and used cells are left out on the first") {
    const FreshFolder folder;
    store::Store store = store::Store::open(folder / "pairmark.db");
    put_labels(store, 1, 6);
    CHECK(make_sheets(folder, {"--grid", "2x2", "--skip-cells", "1"}).status == 0);
    CHECK(listed(folder, "0001").size() == 3);
    CHECK(listed(folder, "0002").size() == 3);
    CHECK_FALSE(is_there(folder, "0003.json"));
}

TEST_CASE("The help's own example of a bought sheet is one that labels of the usual size fit on") {
    const FreshFolder folder;
    store::Store store = store::Store::open(folder / "pairmark.db");
    put_labels(store, 1, 2);
    std::string example;
    for (const std::string& line : lines_of(call({"sheet", "--help"}).out))
        if (line.find("--step-x") != std::string::npos && line.find("pairmark sheet") != std::string::npos)
            example = line.substr(line.find("--grid"));
    REQUIRE_FALSE(example.empty());
    Words words;
    std::istringstream in(example);
    for (std::string word; in >> word;)
        words.push_back(word);
    CHECK(make_sheets(folder, words).status == 0);
    CHECK(listed(folder, "0001").size() == 2);
}

TEST_CASE("A void label goes onto no sheet, and one that became void later is named to be torn up") {
    const FreshFolder folder;
    store::Store store = store::Store::open(folder / "pairmark.db");
    put_labels(store, 1, 3);
    (void)store.void_label(stock_number(2));
    CHECK(make_sheets(folder).out.find("tear up") == std::string::npos);
    CHECK(listed(folder, "0001") == Words{stock_number(1), stock_number(3)});
    (void)store.void_label(stock_number(3));
    const std::string tear = "tear up label " + stock_number(3) + " (sheet-0001)";
    CHECK_THAT(make_sheets(folder).out, Catch::Contains(tear));
    const Run list = make_sheets(folder, {"--list"});
    CHECK(list.status == 0);
    CHECK_THAT(list.out, Catch::Contains("sheet-0001\n  " + stock_number(1)) && Catch::Contains(tear));
}

TEST_CASE(
    "A list whose document a cut took is drawn again, byte for byte, whatever the configuration says now") {
    const FreshFolder folder;
    store::Store store = store::Store::open(folder / "pairmark.db");
    put_labels(store, 1, 3);
    REQUIRE(make_sheets(folder, {"--grid", "2x2"}).status == 0);
    const std::string document = sheet(folder, "0001.pdf");
    const std::string list = sheet(folder, "0001.json");
    std::filesystem::remove(folder / "labels/sheets/sheet-0001.pdf");
    CHECK_THAT(make_sheets(folder, {"--list"}).out, Catch::Contains("no document"));
    CHECK_FALSE(is_there(folder, "0001.pdf"));
    const Run run = make_sheets(folder, {}, R"({"label": {"size": "80x50", "dpi": 300}})");
    CHECK(run.status == 0);
    CHECK_THAT(run.out, Catch::Contains("sheet-0001.pdf") && Catch::Contains("was missing"));
    CHECK(sheet(folder, "0001.pdf") == document);
    CHECK(sheet(folder, "0001.json") == list);
    CHECK_FALSE(is_there(folder, "0002.json"));
}

TEST_CASE("A cut before the list is kept leaves nothing that counts") {
    const FreshFolder folder;
    store::Store store = store::Store::open(folder / "pairmark.db");
    put_labels(store, 1, 2);
    std::filesystem::create_directories(folder / "labels/sheets");
    write_file(folder / "labels/sheets/.sheet-0001.json.part", "{\"sheet\":");
    CHECK(make_sheets(folder).status == 0);
    CHECK(listed(folder, "0001").size() == 2);
    CHECK_FALSE(std::filesystem::exists(folder / "labels/sheets/.sheet-0001.json.part"));
}

TEST_CASE("A list that cannot be read stops the command: nobody knows what is out") {
    const FreshFolder folder;
    store::Store store = store::Store::open(folder / "pairmark.db");
    put_labels(store, 1, 2);
    std::filesystem::create_directories(folder / "labels/sheets");
    write_file(folder / "labels/sheets/sheet-0001.json", "{}");
    const Run run = make_sheets(folder);
    CHECK(run.status == 1);
    CHECK_THAT(run.err, Catch::Contains("sheet-0001.json") && Catch::Contains("put back a copy"));
    CHECK_FALSE(is_there(folder, "0002.json"));
}

TEST_CASE("A grid that is not understood, or lies beside the page, is refused and nothing is made") {
    struct Row {
        Words words;
        const char* says;
    };
    for (const Row& row : {
             Row{{"--grid", "3"}, "COLUMNSxROWS"},
             Row{{"--grid", "3x"}, "COLUMNSxROWS"},
             Row{{"--grid", "0x7"}, "COLUMNSxROWS"},
             Row{{"--grid", "3x7x1"}, "COLUMNSxROWS"},
             Row{{"--grid", "4x7"}, "A4 page"},
             Row{{"--grid", "9x9"}, "columns"},
             Row{{"--step-x", "50"}, "overlap"},
             Row{{"--left", "100"}, "A4 page"},
             Row{{"--skip-cells", "21"}, "none is left"},
             Row{{"--skip-cells", "-1"}, "skip-cells"},
         }) {
        CAPTURE(row.words);
        const FreshFolder folder;
        store::Store store = store::Store::open(folder / "pairmark.db");
        put_labels(store, 1, 1);
        const Run run = make_sheets(folder, row.words);
        CHECK(run.status == 2);
        CHECK_THAT(run.err, Catch::Contains(row.says));
        CHECK_FALSE(std::filesystem::exists(folder / "labels"));
    }
}

TEST_CASE("Without a sheet the list says so, and without a store the command says what to check") {
    const FreshFolder folder;
    const Run none = make_sheets(folder);
    CHECK(none.status == 1);
    CHECK_THAT(none.err, Catch::Contains("there is no store here yet"));
    { (void)store::Store::open(folder / "pairmark.db"); }
    const Run list = make_sheets(folder, {"--list"});
    CHECK(list.status == 0);
    CHECK(list.out == "no sheet yet\n");
    CHECK_FALSE(std::filesystem::exists(folder / "labels"));
}
