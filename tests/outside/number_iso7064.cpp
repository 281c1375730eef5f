// The label number's check character against values from outside: ISO/IEC 7064, MOD 37,36.
#include <catch2/catch.hpp>
#include <fstream>
#include <string>

#include "host/label/number.hpp"
#include "tests/trees.hpp"

namespace {

using pairmark::label::check_character;

}  // namespace

TEST_CASE(
    "MOD 37,36 gives the check character of a release identifier and of two audiovisual numbers (from "
    "memory)") {
    // Examples of the trades that use this check, recalled and not seen in a copy; own arithmetic by hand
    // agrees. The audiovisual number has two: over the first 16 characters, and over these with the 8 of the
    // version.
    const struct {
        const char* text;
        char check;
    } rows[] = {
        {"A12425GABC1234002", 'M'}, {"000000003A8D0000", 'Z'},         {"000000003A8D000000000000", '6'},
        {"00000000D07A0090", 'Q'},  {"00000000D07A009000000000", 'X'},
    };
    for (const auto& row : rows) {
        CAPTURE(row.text);
        CHECK(check_character(row.text) == row.check);
    }
}

TEST_CASE("MOD 37,36 agrees with the npm package cdigit 2.6.6 on 2,000 texts") {
    std::ifstream file(pairmark::tests::in_source_tree("tests/outside/number_mod37_36.txt"));
    std::string line;
    int compared = 0;
    while (std::getline(file, line)) {
        if (line.starts_with('#')) continue;
        CAPTURE(line);
        REQUIRE(check_character(line.substr(0, line.size() - 1)) == line.back());
        ++compared;
    }
    CHECK(compared == 2000);
}
