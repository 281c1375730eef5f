#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

#include "host/record/mark.hpp"

using namespace pairmark::record;

TEST_CASE("The vocabulary names every mark once, with its values") {
    struct Row {
        std::string_view name;
        std::vector<std::string_view> values;
        std::string_view in_order;
    };
    const std::vector<Row> rows{
        {"rim", {"full", "cord", "none"}, ""},
        {"tint", {"none", "light", "dark", "changing"}, "none"},
        {"scratches", {"none", "outside", "central"}, "none"},
        {"glass", {"yes", "no"}, "no"},
        {"pads", {"both", "missing", "moulded"}, "both"},
        {"sides", {"sound", "damaged"}, "sound"},
        {"lens_type", {"single", "segment", "progressive"}, "single"},
        {"child", {"yes", "no"}, "no"},
        {"broken", {"yes", "no"}, "no"},
        {"gold", {"yes", "no"}, "no"},
        {"clean", {"yes", "no"}, "yes"},
        {"plano", {"yes", "no"}, ""},
        {"frame_size", {"S", "M", "L"}, ""},
        {"style", {"women", "men", "either"}, ""},
        {"addition_by", {"front", "back"}, ""},
        {"carrier", {}, ""},
    };
    REQUIRE(mark_vocabulary().size() == rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const MarkWord& mark = mark_vocabulary()[i];
        CHECK(mark.name == rows[i].name);
        CHECK(mark.values == rows[i].values);
        CHECK(mark.in_order == rows[i].in_order);
        CHECK_FALSE(mark.what.empty());
    }
}

TEST_CASE("Every value of the vocabulary is taken, and no value of another mark") {
    for (const MarkWord& mark : mark_vocabulary()) {
        for (const MarkWord& other : mark_vocabulary()) {
            for (const std::string_view value : other.values) {
                const bool known = mark.values.empty() || std::find(mark.values.begin(), mark.values.end(),
                                                                    value) != mark.values.end();
                INFO(mark.name << "=" << value);
                CHECK(!fault_in_mark(mark.name, value) == known);
            }
        }
    }
}

TEST_CASE("Looked over, all in order says every mark that has an in-order value, and nothing else") {
    const Marks marks = all_in_order();
    CHECK(marks.size() == 10);
    CHECK(marks.count("rim") == 0);
    CHECK(marks.count("carrier") == 0);
    for (const auto& [name, value] : marks) {
        CHECK_FALSE(fault_in_mark(name, value));
    }
}

TEST_CASE("A slip of the pen is answered with the nearest word") {
    struct Row {
        const char* name;
        const char* value;
        const char* said;
    };
    const std::vector<Row> rows{
        {"tnt", "dark",
         "there is no mark \"tnt\", only rim, tint, scratches, glass, pads, sides, lens_type, child, broken, "
         "gold, clean, plano, frame_size, style, addition_by, carrier; did you mean \"tint\"?"},
        {"lens-type", "single", "did you mean \"lens_type\"?"},
        {"colour", "red", "there is no mark \"colour\""},
        {"tint", "drak", "tint is one of none, light, dark, changing, not \"drak\"; did you mean \"dark\"?"},
        {"tint", "", "tint is one of none, light, dark, changing, not \"\""},
        {"pads", "molded", "did you mean \"moulded\"?"},
        {"glass", "Yes", "did you mean \"yes\"?"},
    };
    for (const Row& row : rows) {
        const auto fault = fault_in_mark(row.name, row.value);
        REQUIRE(fault);
        CHECK_THAT(*fault, Catch::Contains(row.said));
    }
    CHECK_THAT(*fault_in_mark("tint", "completely different"), !Catch::Contains("did you mean"));
    CHECK_THAT(*fault_in_mark("rim", "zzz"), !Catch::Contains("did you mean"));
}

TEST_CASE("A carrier takes 1 to 32 printable characters") {
    CHECK_FALSE(fault_in_mark("carrier", "tray 7"));
    CHECK_FALSE(fault_in_mark("carrier", std::string(32, 'x')));
    std::string wide;
    for (int i = 0; i < 32; ++i) {
        wide += "\u00e9";
    }
    CHECK_FALSE(fault_in_mark("carrier", wide));
    for (const std::string& bad :
         {std::string(), std::string(33, 'x'), std::string("a\nb"), std::string("a\x1b[1m"),
          std::string("\xff"), wide + "x", std::string("a\0b", 3)}) {
        const auto fault = fault_in_mark("carrier", bad);
        REQUIRE(fault);
        CHECK_THAT(*fault, Catch::StartsWith("carrier takes a text of 1 to 32 printable characters, not \""));
        CHECK(std::all_of(fault->begin(), fault->end(), [](char c) { return c >= 0x20 && c < 0x7F; }));
    }
}

TEST_CASE("A frame's size is a letter or the three numbers of its marking") {
    for (const char* size : {"S", "M", "L", "52-18-140", "20-5-60", "80-40-180", "46-9-135"}) {
        CAPTURE(size);
        CHECK_FALSE(fault_in_mark("frame_size", size));
    }
}

TEST_CASE("A wrong frame size is answered with what was expected, and where a number is out of range") {
    struct Row {
        const char* value;
        const char* said;
    };
    const std::string expected =
        "frame_size is one of S, M, L, or three numbers in millimetres, as in 52-18-140, not \"";
    for (const Row& row : {
             Row{"", "not \"\""},
             Row{"XL", "not \"XL\""},
             Row{"s", "not \"s\""},
             Row{"52", "not \"52\""},
             Row{"52-18", "not \"52-18\""},
             Row{"52-18-", "not \"52-18-\""},
             Row{"52-18-140-1", "not \"52-18-140-1\""},
             Row{"52 18 140", "not \"52 18 140\""},
             Row{"052-18-140", "not \"052-18-140\""},
             Row{"52-18-1400", "not \"52-18-1400\""},
             Row{"52.5-18-140", "not \"52.5-18-140\""},
             Row{"-52-18-140", "not \"-52-18-140\""},
             Row{"19-18-140", "the width of a lens's box is from 20 to 80, not 19"},
             Row{"81-18-140", "the width of a lens's box is from 20 to 80, not 81"},
             Row{"52-4-140", "the distance between the lenses is from 5 to 40, not 4"},
             Row{"52-41-140", "the distance between the lenses is from 5 to 40, not 41"},
             Row{"52-18-59", "the length of a side is from 60 to 180, not 59"},
             Row{"52-18-181", "the length of a side is from 60 to 180, not 181"},
         }) {
        CAPTURE(row.value);
        const auto fault = fault_in_mark("frame_size", row.value);
        REQUIRE(fault);
        CHECK_THAT(*fault, Catch::StartsWith(expected) && Catch::Contains(row.said));
    }
}
