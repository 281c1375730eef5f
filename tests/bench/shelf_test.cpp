// The list by which a pair is found.
#include "host/bench/shelf.hpp"

#include <catch2/catch.hpp>
#include <sstream>

#include "host/optics/compare.hpp"

using namespace pairmark;

namespace {

optics::Power lens(int sphere, int cylinder = 0, double axis = 0) {
    return {optics::Dioptre::hundredths(sphere), optics::Dioptre::hundredths(cylinder), axis};
}

store::StoredLabel label_of(const std::string& number, const optics::Power& right, bool is_void = false) {
    store::StoredLabel label;
    label.number = label.facts.number = number;
    label.is_void = is_void;
    label.facts.date = "2026-11-24";
    label.facts.place = "Box 1-0" + number.substr(number.size() - 1);
    label.facts.right = right;
    label.facts.right_equivalent = optics::spherical_equivalent(right);
    label.facts.left = lens(-150);
    label.facts.left_equivalent = -1.5;
    return label;
}

std::vector<std::string> numbers_of(const std::vector<record::LabelFacts>& pairs) {
    std::vector<std::string> numbers;
    for (const record::LabelFacts& facts : pairs)
        numbers.push_back(facts.number);
    return numbers;
}

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);)
        lines.push_back(line);
    return lines;
}

/// One record of RFC 4180 as its cells.
std::vector<std::string> cells_of(const std::string& line) {
    std::vector<std::string> cells{""};
    bool quoted = false;
    for (std::size_t i = 0; i < line.size(); ++i) {
        const char c = line[i];
        if (c == '"' && quoted && i + 1 < line.size() && line[i + 1] == '"') {
            cells.back() += c;
            ++i;
        } else if (c == '"') {
            quoted = !quoted;
        } else if (c == ',' && !quoted) {
            cells.emplace_back();
        } else {
            cells.back() += c;
        }
    }
    return cells;
}

}  // namespace

TEST_CASE("The shelf holds valid labels alone, by right equivalent, then cylinder, then number") {
    const std::vector<store::StoredLabel> labels{
        label_of("N-5", lens(200)),  label_of("N-4", lens(-100, -100, 90)), label_of("N-3", lens(-150)),
        label_of("N-2", lens(-150)), label_of("N-1", lens(-600), true),     label_of("N-6", lens(-575)),
    };
    // N-4 has the equivalent of N-2 and N-3, and the stronger cylinder.
    CHECK(numbers_of(bench::on_shelf(labels)) == std::vector<std::string>{"N-6", "N-4", "N-2", "N-3", "N-5"});
}

TEST_CASE("Near a power, both ends belong to what is shown") {
    const std::vector<store::StoredLabel> labels{
        label_of("N-1", lens(-201)), label_of("N-2", lens(-200)), label_of("N-3", lens(-150)),
        label_of("N-4", lens(-100)), label_of("N-5", lens(-99)),
    };
    CHECK(numbers_of(bench::on_shelf(labels, bench::Near{-1.5, 0.5})) ==
          std::vector<std::string>{"N-2", "N-3", "N-4"});
    CHECK(bench::on_shelf(labels, bench::Near{3, 0}).empty());
}

TEST_CASE("The table has a line a pair, in columns, and counts them") {
    store::StoredLabel progressive = label_of("LQ-A-00002-7", lens(200, -50, 5));
    progressive.facts.right_addition = progressive.facts.left_addition = optics::Dioptre::hundredths(225);
    progressive.facts.addition_kind = "progressive";
    progressive.facts.addition_by = "back";
    progressive.facts.frame_size = "52-18-140";
    progressive.facts.wearer = "adult";
    const auto lines =
        lines_of(bench::shelf_table(bench::on_shelf({progressive, label_of("LQ-A-00001-9", lens(-125))})));
    REQUIRE(lines.size() == 4);
    CHECK(lines[0] ==
          "right              left      addition                       place     number        frame");
    CHECK(lines[1] == "−1.25 DS           −1.50 DS                                 Box 1-09  LQ-A-00001-9");
    CHECK(lines[2] ==
          "+2.00 −0.50 × 005  −1.50 DS  +2.25 +2.25 progressive, back  Box 1-07  LQ-A-00002-7  52-18-140 "
          "adult");
    CHECK(lines[3] == "2 pairs");
    CHECK(bench::shelf_table({}).find("0 pairs\n") != std::string::npos);
}

TEST_CASE("The CSV has as many cells in each record as in its heading, ended as RFC 4180 says") {
    store::StoredLabel label = label_of("LQ-A-00001-9", lens(-125, -50, 85));
    label.facts.centres_mm = 62.5;
    label.facts.place = "Box \"A\", 1-01";
    const std::string text = bench::shelf_csv(bench::on_shelf({label}));
    CHECK(text.size() >= 2);
    CHECK(text.substr(text.size() - 2) == "\r\n");
    const auto lines = lines_of(text);
    REQUIRE(lines.size() == 2);
    const auto heading = cells_of(lines[0].substr(0, lines[0].size() - 1));
    const auto cells = cells_of(lines[1].substr(0, lines[1].size() - 1));
    REQUIRE(cells.size() == heading.size());
    const auto cell = [&](const std::string& name) {
        for (std::size_t i = 0; i < heading.size(); ++i)
            if (heading[i] == name) return cells[i];
        return "no column " + name;
    };
    CHECK(cell("place") == "Box \"A\", 1-01");
    CHECK(cell("number") == "LQ-A-00001-9");
    CHECK(cell("right_sphere") == "-1.25");
    CHECK(cell("right_cylinder") == "-0.50");
    CHECK(cell("right_axis") == "85");
    CHECK(cell("right_equivalent") == "-1.50");
    CHECK(cell("right_addition").empty());
    CHECK(cell("left_axis").empty());
    CHECK(cell("centre_distance") == "62.5");
}

TEST_CASE("A cell of words cannot start a formula, and a power stays a number") {
    for (const char* place : {"=1+1", "+A1", "-Box 1-01", "@SUM(A1)", "\t=1", "\r=1"}) {
        store::StoredLabel label = label_of("N-1", lens(200));
        label.facts.place = place;
        const std::string text = bench::shelf_csv(bench::on_shelf({label}));
        const std::string record = text.substr(text.find("\r\n") + 2);
        CAPTURE(place);
        CHECK(cells_of(record)[0] == std::string("'") + place);
        CHECK(cells_of(record)[3] == "2.00");
    }
}
