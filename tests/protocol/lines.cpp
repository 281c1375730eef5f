#include <algorithm>
#include <catch2/catch.hpp>

#include "tests/protocol/files.hpp"

using namespace pairmark::protocol;
using namespace pairmark::protocol::testing;

namespace {

LineFault read(const std::string& bytes, Line& line) {
    return parse_line(text_of(bytes), line);
}

// A line with one field, as somebody typed it.
struct OneField {
    explicit OneField(const std::string& value) : text(signed_line("@TEST x=" + value)) {
        REQUIRE(read(text, line) == LineFault::none);
    }
    std::string text;
    Line line;
};

}  // namespace

TEST_CASE("Every good golden line gives its kind and all its fields") {
    const Json vectors = read_vectors("lines.json");
    REQUIRE(vectors["good"].size() >= 20);
    for (const Json& row : vectors["good"]) {
        const std::string bytes = to_bytes(row["line"].get<std::string>());
        INFO(bytes);
        Line line;
        REQUIRE(word_of(read(bytes, line)) == "none");
        CHECK(string_of(line.kind()) == row["kind"]);
        for (const auto& [key, expected] : row["fields"].items()) {
            Text value{nullptr, 0};
            REQUIRE(line.get(key.c_str(), value));
            CHECK(string_of(value) == expected);
        }
        Text absent{nullptr, 0};
        CHECK_FALSE(line.get("absent", absent));
    }
}

TEST_CASE("Every damaged golden line is refused with its fault") {
    const Json vectors = read_vectors("lines.json");
    REQUIRE(vectors["damaged"].size() >= 20);
    for (const Json& row : vectors["damaged"]) {
        INFO(row["name"]);
        Line line;
        CHECK(word_of(read(to_bytes(row["line"].get<std::string>()), line)) == row["fault"]);
    }
}

TEST_CASE("A writer's line is read back, whatever values it has") {
    const std::uint8_t id[3] = {0x00, 0x9A, 0xFF};
    LineWriter writer("TEST");
    writer.add("text", "a-b_c").add_number("low", -2147483647).add_number("minus", -1).add_number("zero", 0);
    writer.add_count("high", 4294967295U).add_hex("crc", 0x00AB00CDU).add_hex("id", id, 3).add("empty", "");
    const std::string whole = string_of(writer.finish());
    REQUIRE(whole.substr(0, 33) == "@TEST text=a-b_c low=-2147483647 ");
    REQUIRE(whole.substr(whole.size() - 2) == "\r\n");
    const std::string bytes = whole.substr(0, whole.size() - 2);
    Line line;
    REQUIRE(read(bytes, line) == LineFault::none);
    std::int32_t number = 7;
    CHECK((line.get_number("low", number) && number == -2147483647));
    CHECK((line.get_number("minus", number) && number == -1));
    CHECK((line.get_number("zero", number) && number == 0));
    std::uint32_t count = 0;
    CHECK((line.get_count("high", count) && count == 4294967295U));
    CHECK((line.get_hex("crc", count) && count == 0x00AB00CDU));
    std::uint8_t got[3] = {};
    CHECK((line.get_hex("id", got, 3) && got[0] == 0 && got[1] == 0x9A && got[2] == 0xFF));
    std::size_t size = 9;
    CHECK((line.get_hex("empty", got, 3, size) && size == 0));
}

TEST_CASE("A number is taken only in its one form") {
    struct Row {
        const char* text;
        bool number;
        bool count;
    };
    const Row row = GENERATE(values<Row>({{"0", true, true},
                                          {"12", true, true},
                                          {"-12", true, false},
                                          {"2147483647", true, true},
                                          {"2147483648", false, true},
                                          {"4294967295", false, true},
                                          {"4294967296", false, false},
                                          {"9999999999", false, false},
                                          {"42949672950", false, false},
                                          {"-2147483647", true, false},
                                          {"-2147483648", false, false},
                                          {"", false, false},
                                          {"-", false, false},
                                          {"-0", false, false},
                                          {"00", false, false},
                                          {"012", false, false},
                                          {"+1", false, false},
                                          {"1a", false, false},
                                          {"--1", false, false},
                                          {"0x1", false, false}}));
    INFO(row.text);
    const OneField field(row.text);
    std::int32_t number = 77;
    std::uint32_t count = 77;
    CHECK(field.line.get_number("x", number) == row.number);
    CHECK(field.line.get_count("x", count) == row.count);
    if (!row.number) CHECK(number == 77);
    if (!row.count) CHECK(count == 77);
}

TEST_CASE("Hex is taken only whole and of the right length") {
    struct Row {
        const char* text;
        bool eight;
        bool two_bytes;
        bool up_to_two;
    };
    const Row row = GENERATE(values<Row>({{"0123ABCD", true, false, false},
                                          {"0123abcd", true, false, false},
                                          {"0123", false, true, true},
                                          {"01", false, false, true},
                                          {"", false, false, true},
                                          {"012", false, false, false},
                                          {"01G3", false, false, false},
                                          {"0123ABCDE", false, false, false}}));
    INFO(row.text);
    const OneField field(row.text);
    std::uint32_t value = 0;
    std::uint8_t bytes[2] = {};
    std::size_t size = 0;
    CHECK(field.line.get_hex("x", value) == row.eight);
    CHECK(field.line.get_hex("x", bytes, 2) == row.two_bytes);
    CHECK(field.line.get_hex("x", bytes, 2, size) == row.up_to_two);
}

TEST_CASE("Of a key that stands twice the first counts, and a key is never found inside another") {
    const std::string bytes = signed_line("@TEST ab=1 b=2 b=3 bb=4");
    Line line;
    REQUIRE(read(bytes, line) == LineFault::none);
    std::uint32_t value = 0;
    CHECK((line.get_count("b", value) && value == 2));
    CHECK((line.get_count("bb", value) && value == 4));
    CHECK_FALSE(line.get_count("a", value));
    CHECK_FALSE(line.get_count("", value));
}

TEST_CASE("A line of 240 bytes is written, one of 241 is not sent at all") {
    const std::string value(240 - 2 - 10 - std::string("@TEST x=").size(), 'v');
    LineWriter fits("TEST");
    CHECK(fits.add("x", value.c_str()).finish().size == max_line);
    LineWriter over("TEST");
    CHECK(over.add("x", (value + "v").c_str()).finish().size == 0);
    LineWriter after("TEST");  // what comes after an overflow does not make it whole again
    CHECK(after.add("x", (value + "v").c_str()).add("y", "1").finish().size == 0);
}

TEST_CASE("A value or key that no line can carry is never sent") {
    const char* value = GENERATE("a b", "a!", "a*b", "a=b", "a@b", "\t", "\x7f", "\xe9", "a\r\nb");
    LineWriter writer("TEST");
    CHECK(writer.add("x", value).finish().size == 0);
    for (const char* key : {"", "X", "a b", "a=", "@"}) {
        LineWriter other("TEST");
        CHECK(other.add(key, "1").finish().size == 0);
    }
    for (const char* kind : {"", "test", "A1", "A B"})
        CHECK(LineWriter(kind).finish().size == 0);
}

TEST_CASE("Each fault has a name of its own for people") {
    std::vector<std::string> names;
    for (int i = 0; i <= 5; ++i)
        names.emplace_back(name_of(static_cast<LineFault>(i)));
    std::sort(names.begin(), names.end());
    CHECK(std::unique(names.begin(), names.end()) == names.end());
    CHECK(std::string(name_of(LineFault::wrong_crc)) == "wrong check sum");
}
