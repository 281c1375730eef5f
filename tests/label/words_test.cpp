#include "host/label/words.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include "tests/label/facts_for_tests.hpp"

namespace {

using namespace pairmark::label_tests;
using pairmark::label::line_of;
using pairmark::label::plain_signs;
using pairmark::label::text_of;
using pairmark::optics::Dioptre;
using pairmark::optics::Power;
using pairmark::record::Eye;

}  // namespace

TEST_CASE("a power is written with sign, two decimals, true minus, and three digits of axis or DS") {
    const struct {
        Power power;
        const char* printed;
        const char* plain;
    } rows[] = {
        {lens(-125, -50, 85), "−1.25 −0.50 × 085", "-1.25-0.50X085"},
        {lens(200), "+2.00 DS", "+2.00DS"},
        {lens(0), "0.00 DS", "0.00DS"},
        {lens(0, -100, 180), "0.00 −1.00 × 180", "0.00-1.00X180"},
        {lens(25, -25, 1), "+0.25 −0.25 × 001", "+0.25-0.25X001"},
        {lens(-25), "−0.25 DS", "-0.25DS"},
        {lens(-1550, -1050, 85), "−15.50 −10.50 × 085", "-15.50-10.50X085"},
        {lens(1000, -75, 10), "+10.00 −0.75 × 010", "+10.00-0.75X010"},
        {lens(-5, -1, 99), "−0.05 −0.01 × 099", "-0.05-0.01X099"},
        {lens(100, -150, 0), "+1.00 −1.50 × 180", "+1.00-1.50X180"},
    };
    for (const auto& row : rows) {
        CHECK(text_of(row.power) == row.printed);
        CHECK(text_of(row.power, plain_signs) == row.plain);
    }
}

TEST_CASE("the right line begins with R, the left with L") {
    CHECK(line_of(Eye::right, lens(-125, -50, 85)) == "R −1.25 −0.50 × 085");
    CHECK(line_of(Eye::left, lens(200)) == "L +2.00 DS");
}

TEST_CASE("minus and multiplication sign are U+2212 and U+00D7") {
    CHECK(text_of(lens(-125, -50, 85)) ==
          "\xE2\x88\x92"
          "1.25 \xE2\x88\x92"
          "0.50 \xC3\x97 085");
}

TEST_CASE("an equivalent off the hundredths takes a third decimal") {
    const struct {
        int millionths;
        const char* text;
    } rows[] = {
        {-1'375'000, "−1.375"},   {-1'250'000, "−1.25"}, {125'000, "+0.125"}, {0, "0.00"},
        {-26'125'000, "−26.125"}, {5'000, "+0.005"},     {-400, "0.00"},      {499, "0.00"},
        {-500, "−0.001"},
    };
    for (const auto& row : rows)
        CHECK(text_of(Dioptre::millionths(row.millionths)) == row.text);
}

TEST_CASE("no value is ever written as minus zero, and every text reads back as its value") {
    for (int n = -60'000; n <= 60'000; ++n) {
        const Dioptre value = Dioptre::millionths(n * 1000);
        const std::string text = text_of(value, plain_signs);
        CAPTURE(text);
        REQUIRE(text != "-0.00");
        REQUIRE(text != "+0.00");
        REQUIRE(std::lround(std::stod(text) * 1000) == n);
    }
}
