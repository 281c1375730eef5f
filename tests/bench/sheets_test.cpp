// Sheets of labels for an office printer: what goes on which, and the files.
#include "host/bench/sheets.hpp"

#include <sys/stat.h>

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "host/bench/sheet_folder.hpp"
#include "host/label/number.hpp"
#include "host/label/refused.hpp"
#include "host/record/json.hpp"
#include "tests/store/fresh_folder.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using bench::SheetFolder;
using bench::SheetList;
using Numbers = std::vector<std::string>;

namespace {

std::string number(int counter) {
    return label::print_number({"A1", "A", counter});
}

std::vector<store::StoredLabel> labels_up_to(int count) {
    std::vector<store::StoredLabel> labels;
    for (int counter = 1; counter <= count; ++counter) {
        store::StoredLabel label;
        label.number = number(counter);
        label.facts = facts_of(label.number);
        labels.push_back(label);
    }
    return labels;
}

Numbers numbers(int first, int last) {
    Numbers all;
    for (int counter = first; counter <= last; ++counter)
        all.push_back(number(counter));
    return all;
}

SheetList sheet_of(int columns, int rows, int skip_cells = 0) {
    SheetList like;
    like.grid = bench::grid_for(like.paper, columns, rows);
    like.skip_cells = skip_cells;
    return like;
}

std::string fault_in(const std::string& text) {
    try {
        (void)bench::sheet_list_from(text);
        return "";
    } catch (const record::BadRecord& bad) {
        return bad.what();
    }
}

std::string fault_of_lists(const SheetFolder& folder) {
    try {
        (void)folder.lists();
        return "";
    } catch (const bench::SheetFault& fault) {
        return fault.what();
    }
}

}  // namespace

TEST_CASE("Labels go onto sheets in the order of their numbers, a page each, the first after what is used") {
    const auto sheets = bench::next_sheets(labels_up_to(10), {}, sheet_of(2, 2, 1));
    REQUIRE(sheets.size() == 3);
    CHECK(sheets[0].numbers == numbers(1, 3));
    CHECK(sheets[1].numbers == numbers(4, 7));
    CHECK(sheets[2].numbers == numbers(8, 10));
    CHECK(sheets[0].skip_cells == 1);
    CHECK(sheets[1].skip_cells == 0);
    CHECK(sheets[0].sheet == 1);
    CHECK(sheets[2].sheet == 3);
}

TEST_CASE("A label is on one sheet only, a void one on none, and sheets are counted on") {
    auto labels = labels_up_to(6);
    SheetList earlier = sheet_of(2, 2);
    earlier.sheet = 7;
    earlier.numbers = numbers(1, 2);
    labels[2].is_void = true;
    const auto sheets = bench::next_sheets(labels, {earlier}, sheet_of(2, 2));
    REQUIRE(sheets.size() == 1);
    CHECK(sheets[0].numbers == numbers(4, 6));
    CHECK(sheets[0].sheet == 8);
    CHECK(bench::next_sheets(labels, {earlier, sheets[0]}, sheet_of(2, 2)).empty());
}

TEST_CASE("With a label for the spectacles, a pair takes two cells") {
    SheetList like = sheet_of(3, 1);
    like.paper.for_spectacles = record::LabelSize{40, 20};
    CHECK(bench::labels_a_page(like.paper, like.grid, 0) == 1);
    CHECK(bench::next_sheets(labels_up_to(2), {}, like).size() == 2);
    CHECK(bench::labels_a_page(like.paper, like.grid, 2) == 0);
}

TEST_CASE("Labels that became void after their sheet are named, and left out where it is drawn again") {
    auto labels = labels_up_to(3);
    SheetList list = sheet_of(2, 2);
    list.numbers = numbers(1, 3);
    CHECK(bench::void_on(list, labels).empty());
    labels[1].is_void = true;
    CHECK(bench::void_on(list, labels) == Numbers{number(2)});
    const auto facts = bench::facts_on(list, labels);
    REQUIRE(facts.size() == 2);
    CHECK(facts[1].number == number(3));
    list.numbers.push_back(number(9));
    CHECK_THROWS_WITH(bench::facts_on(list, labels), Catch::Contains(number(9)));
}

TEST_CASE("Every size of label has a grid that lies on the page") {
    for (const double width : {40.0, 57.5, 60.0, 100.0}) {
        for (const double height : {20.0, 32.5, 40.0, 60.0}) {
            CAPTURE(width, height);
            record::LabelPaper paper;
            paper.size = {width, height};
            const label::SheetGrid grid = bench::grid_for(paper);
            CHECK_NOTHROW(label::check_grid(grid, paper));
            CHECK(grid.columns >= 2);
            CHECK(grid.rows >= 4);
        }
    }
    const label::SheetGrid usual = bench::grid_for({});
    CHECK(usual.columns == 3);
    CHECK(usual.rows == 7);
}

TEST_CASE("A list is read back as it was written") {
    SheetList list = sheet_of(3, 7, 4);
    list.sheet = 12;
    list.paper = {{57.5, 32}, 300, record::LabelSize{30, 12}};
    list.grid.left_mm = 7.2;
    list.numbers = numbers(1, 17);
    const SheetList again = bench::sheet_list_from(bench::text_of(list));
    CHECK(bench::text_of(again) == bench::text_of(list));
    CHECK(again.paper == list.paper);
    CHECK(again.numbers == list.numbers);
    CHECK(again.grid.left_mm == list.grid.left_mm);
    CHECK(again.skip_cells == 4);
}

TEST_CASE("A list with anything wrong in it is refused with the place") {
    SheetList list = sheet_of(3, 7);
    list.numbers = numbers(1, 2);
    const auto good = nlohmann::json::parse(bench::text_of(list));
    struct Row {
        const char* change;  // a JSON merge patch
        const char* place;
    };
    for (const Row& row : {
             Row{R"({"sheet": 0})", "sheet"},
             Row{R"({"sheet": null})", "sheet"},
             Row{R"({"size": "1x1"})", "size"},
             Row{R"({"dpi": 250})", "dpi"},
             Row{R"({"spectacles": "60"})", "spectacles"},
             Row{R"({"grid": {"columns": 6}})", "grid.columns"},
             Row{R"({"grid": {"rows": 0}})", "grid.rows"},
             Row{R"({"grid": {"left": -1}})", "grid.left"},
             Row{R"({"grid": {"step_x": "66"}})", "grid.step_x"},
             Row{R"({"grid": {"colour": 1}})", "colour"},
             Row{R"({"skip_cells": 70})", "skip_cells"},
             Row{R"({"labels": []})", "labels"},
             Row{R"({"labels": ["A1-A-00001-?"]})", "labels"},
             Row{R"({"labels": [7]})", "labels"},
             Row{R"({"labels": "A1"})", "labels"},
             Row{R"({"more": 1})", "more"},
         }) {
        CAPTURE(row.change);
        auto changed = good;
        changed.merge_patch(nlohmann::json::parse(row.change));
        CHECK_THAT(fault_in(changed.dump()), Catch::Contains(row.place));
    }
    CHECK(fault_in(good.dump()).empty());
    CHECK_THAT(fault_in("{"), Catch::Contains("not JSON"));
    CHECK_FALSE(fault_in("[]").empty());
}

TEST_CASE("Lists and documents are files of their owner's, and never replaced") {
    const FreshFolder place;
    SheetList list = sheet_of(3, 7);
    list.numbers = numbers(1, 3);
    const auto path = place / "labels/sheets";
    {
        const SheetFolder folder(path);
        CHECK(folder.lists().empty());
        CHECK(folder.keep_list(list).outcome == record::PrintOutcome::printed);
        CHECK_FALSE(folder.has_document(1));
        CHECK(folder.keep_document(1, "PDF").outcome == record::PrintOutcome::printed);
        CHECK(folder.has_document(1));
        CHECK(folder.keep_document(1, "other").outcome == record::PrintOutcome::held);
        list.numbers = numbers(4, 4);
        CHECK(folder.keep_list(list).outcome == record::PrintOutcome::held);
        list.sheet = 12'345;
        CHECK(folder.keep_list(list).outcome == record::PrintOutcome::printed);
    }
    for (const char* file : {"sheet-0001.json", "sheet-0001.pdf", "sheet-12345.json"}) {
        struct stat status {};
        REQUIRE(::stat((path / file).c_str(), &status) == 0);
        CHECK((status.st_mode & 07777) == 0600);
    }
    CHECK(bytes_of(path / "sheet-0001.pdf") == "PDF");
    const auto lists = SheetFolder(path).lists();
    REQUIRE(lists.size() == 2);
    CHECK(lists[0].numbers == numbers(1, 3));
    CHECK(lists[1].sheet == 12'345);
}

TEST_CASE("A second user of the folder is turned away, and a link in its place is not followed") {
    const FreshFolder place;
    const SheetFolder first(place / "sheets");
    CHECK_THROWS_WITH(SheetFolder(place / "sheets"), Catch::Contains("another `pairmark sheet`"));
    std::filesystem::create_directory(place / "elsewhere");
    std::filesystem::create_symlink(place / "elsewhere", place / "link");
    CHECK_THROWS_WITH(SheetFolder(place / "link"), Catch::Contains("no link"));
    write_file(place / "plain", "");
    CHECK_THROWS_AS(SheetFolder(place / "plain"), bench::SheetFault);
}

TEST_CASE("A list that cannot be read stops everything, for nobody knows then what is out") {
    SheetList list = sheet_of(3, 7);
    list.numbers = numbers(1, 3);
    const std::string good = bench::text_of(list);
    const FreshFolder place;
    const SheetFolder folder(place / "sheets");
    const auto file = place / "sheets/sheet-0001.json";
    for (const std::string& text : {std::string(), good.substr(0, good.size() / 2), std::string("{}"),
                                    good + std::string(70'000, ' ')}) {
        CAPTURE(text.size());
        write_file(file, text);
        CHECK_THAT(fault_of_lists(folder),
                   Catch::Contains(file.string()) && Catch::Contains("put back a copy"));
    }
    std::filesystem::rename(file, place / "sheets/sheet-0002.json");
    write_file(place / "sheets/sheet-0002.json", good);
    CHECK_THAT(fault_of_lists(folder), Catch::Contains("says that it is sheet 1"));
    std::filesystem::remove(place / "sheets/sheet-0002.json");
    write_file(place / "target", good);
    std::filesystem::create_symlink(place / "target", file);
    CHECK_FALSE(fault_of_lists(folder).empty());
    std::filesystem::remove(file);
    REQUIRE(::mkfifo(file.c_str(), 0600) == 0);
    CHECK_THAT(fault_of_lists(folder), Catch::Contains("not a plain file"));
    std::filesystem::remove(file);
    // What is not called like a list is none of ours.
    for (const char* other : {"notes.txt", "sheet-1.json", "sheet-0001.json.old", ".sheet-0001.json.part"})
        write_file(place / (std::string("sheets/") + other), "");
    CHECK(fault_of_lists(folder).empty());
    CHECK(folder.lists().empty());
}
