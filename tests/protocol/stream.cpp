#include <catch2/catch.hpp>

#include "tests/protocol/files.hpp"

using namespace pairmark::protocol;
using namespace pairmark::protocol::testing;

namespace {

const std::string ping = signed_line("@PING n=9") + "\r\n";
const std::string pong = signed_line("@PONG n=9 up=5 wait=0") + "\r\n";
const std::string damaged_ping = "@PING n=8" + ping.substr(9);

// "P" a PING, "O" a PONG, a fault by its first letters in brackets.
std::string heard(LineReader& reader, const std::string& bytes) {
    std::string said;
    for (const char c : bytes) {
        switch (reader.take(static_cast<std::uint8_t>(c))) {
            case LineReader::Found::nothing:
                break;
            case LineReader::Found::line:
                said += reader.line().kind() == "PING" ? "P" : "O";
                break;
            case LineReader::Found::fault:
                said += "[" + word_of(reader.fault()) + "]";
                break;
        }
    }
    return said;
}

}  // namespace

TEST_CASE("Lines are found in a stream, and damage costs only itself") {
    struct Row {
        const char* legend;
        std::string bytes;
        std::string expected;
    };
    const std::string endless(1000, 'x');
    const std::vector<Row> rows{
        {"a line", ping, "P"},
        {"two lines", ping + pong, "PO"},
        {"garbage with a line end in front", "\x01\xff garbage\r\n" + ping, "[not_a_line]P"},
        {"garbage without a line end in front", std::string("\x00\xfegar", 5) + ping, "[not_a_line]P"},
        {"garbage after garbage is told once", "a\r\nb\r\nc\r\nd" + ping + "e\r\n",
         "[not_a_line]P[not_a_line]"},
        {"a line damaged between two", ping + damaged_ping + pong, "P[wrong_crc]O"},
        {"damaged lines are told each time", damaged_ping + damaged_ping, "[wrong_crc][wrong_crc]"},
        {"the line end of one is lost", ping.substr(0, ping.size() - 2) + pong, "[malformed]O"},
        {"LF alone", ping.substr(0, ping.size() - 2) + "\n" + pong, "[malformed]O"},
        {"CR alone", ping.substr(0, ping.size() - 1) + pong, "[malformed]O"},
        {"CR twice", ping.substr(0, ping.size() - 1) + "\r\n" + pong, "[not_a_line]O"},
        {"a line cut and begun again", ping.substr(0, 5) + ping, "[malformed]P"},
        {"many begun lines", "@@@" + ping, "[malformed][malformed][malformed]P"},
        {"empty lines say nothing", "\r\n\r\n\n" + ping + "\r\n", "P"},
        {"an endless line", "@" + endless + "\r\n" + ping, "[too_long]P"},
        {"an endless line ended by the next", "@" + endless + ping, "[too_long]P"},
        {"endless garbage", endless + endless + "\r\n" + ping, "[not_a_line]P"},
        {"a good line inside a value", "@PING n=" + ping + pong, "[malformed]PO"},
        {"a zero byte in a line", std::string("@PI\0NG\r\n", 8) + ping, "[not_a_line]P"},
    };
    for (const Row& row : rows) {
        INFO(row.legend);
        LineReader reader;
        CHECK(heard(reader, row.bytes) == row.expected);
    }
}

TEST_CASE("A line of 240 bytes is read, one of 241 is too long") {
    const std::string fits = signed_line("@PING x=" + std::string(220, 'v')) + "\r\n";
    REQUIRE(fits.size() == max_line);
    LineReader reader;
    CHECK(heard(reader, fits + ping) == "PP");
    const std::string over = signed_line("@PING x=" + std::string(221, 'v')) + "\r\n";
    LineReader other;
    CHECK(heard(other, over + ping) == "[too_long]P");
}

TEST_CASE("The reader counts good lines and refused ones, and shows what it refused") {
    LineReader reader;
    heard(reader, ping + damaged_ping);
    CHECK(string_of(reader.raw()) == damaged_ping.substr(0, damaged_ping.size() - 2));
    heard(reader, "noise\r\nnoise\r\n" + pong);
    CHECK(reader.good() == 2);
    CHECK(reader.damaged() == 2);
    CHECK(string_of(reader.raw()) == pong.substr(0, pong.size() - 2));
    heard(reader, "half@");
    CHECK(string_of(reader.raw()) == "half");
}

TEST_CASE("A line cut anywhere is no line, and the next one is read") {
    for (std::size_t size = 1; size < ping.size(); ++size) {
        LineReader reader;
        const std::string said = heard(reader, ping.substr(0, size) + pong);
        CHECK(said.back() == 'O');
        CHECK(said.find('P') == std::string::npos);
    }
}
