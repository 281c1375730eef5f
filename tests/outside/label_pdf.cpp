// A label as other programs see it.
#include <algorithm>
#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "host/label/qr.hpp"
#include "host/label/qr_text.hpp"
#include "host/label/render.hpp"
#include "tests/label/facts_for_tests.hpp"
#include "tests/outside/label_programs.hpp"

namespace {

using namespace pairmark::label_tests;
using pairmark::label::qr_text;
using pairmark::label::render_label;
using pairmark::outside::DocumentFile;
using pairmark::outside::Raster;
using pairmark::outside::run;
using pairmark::record::LabelFacts;

bool has_line(const std::vector<std::string>& lines, const std::string& line) {
    return std::find(lines.begin(), lines.end(), line) != lines.end();
}

LabelFacts cyrillic_facts() {
    LabelFacts facts = facts_of(lens(0, -100, 180), lens(0));
    facts.place = "Полка 12";
    facts.programme = "Очки для всех";
    facts.right_addition = hundredths(200);
    facts.left_addition = hundredths(200);
    facts.addition_kind = "segment";
    facts.centres_mm.reset();
    return facts;
}

std::vector<LabelFacts> varied_facts() {
    return {usual_facts(), fullest_facts(), cyrillic_facts()};
}

// The lowest grey in a rectangle, right and bottom not included.
int darkest(const Raster& raster, int left, int top, int right, int bottom) {
    int least = 255;
    for (int y = top; y < bottom; ++y)
        for (int x = left; x < right; ++x)
            least = std::min(least, raster.at(x, y));
    return least;
}

}  // namespace

TEST_CASE("pdftotext reads the two power lines exactly") {
    const struct {
        pairmark::optics::Power right;
        pairmark::optics::Power left;
        const char* right_line;
        const char* left_line;
    } rows[] = {
        {lens(-125, -50, 85), lens(200), "R −1.25 −0.50 × 085", "L +2.00 DS"},
        {lens(0), lens(0, -100, 180), "R 0.00 DS", "L 0.00 −1.00 × 180"},
        {lens(-1550, -1050, 85), lens(-2000, -1200, 1), "R −15.50 −10.50 × 085", "L −20.00 −12.00 × 001"},
        {lens(1250), lens(25, -25, 90), "R +12.50 DS", "L +0.25 −0.25 × 090"},
        {lens(-25), lens(-25, -25, 9), "R −0.25 DS", "L −0.25 −0.25 × 009"},
    };
    for (const auto& row : rows) {
        const DocumentFile document(render_label(facts_of(row.right, row.left)));
        const auto lines = document.lines();
        CAPTURE(lines);
        CHECK(has_line(lines, row.right_line));
        CHECK(has_line(lines, row.left_line));
        // G6: right before left, as the HL7 FHIR R4 vision prescription's example has it (a precedent, no
        // rule).
        const auto right = std::find(lines.begin(), lines.end(), row.right_line);
        CHECK(right < std::find(lines.begin(), lines.end(), row.left_line));
    }
}

TEST_CASE("pdftotext reads everything else that the fullest label says") {
    const LabelFacts facts = fullest_facts();
    const auto lines = DocumentFile(render_label(facts)).lines();
    CAPTURE(lines);
    for (const std::string& line :
         {facts.place, facts.programme, std::string("Add R +3.00 L +3.25"), std::string("progressive, check"),
          std::string("SE R −20.75 L −26.125"), std::string("CD 102.5 mm 2026-11-24"),
          std::string("Only after an eye examination."), std::string("COPY 12 TYPED"), facts.number})
        CHECK(has_line(lines, line));
}

TEST_CASE(
    "an unknown centre distance is a dash, an addition of segments is on one line, no mark where none is "
    "due") {
    const auto lines = DocumentFile(render_label(cyrillic_facts())).lines();
    CAPTURE(lines);
    for (const char* line :
         {"Полка 12", "Очки для всех", "CD –", "Add R +2.00 L +2.00 segment", "SE R −0.50 L 0.00"})
        CHECK(has_line(lines, line));
    for (const std::string& line : lines) {
        CHECK(line.find("COPY") == std::string::npos);
        CHECK(line.find("TYPED") == std::string::npos);
    }
}

TEST_CASE("qpdf finds no fault, pdffonts finds the one font embedded, pdfinfo one page of 60 x 40 mm") {
    for (const LabelFacts& facts : varied_facts()) {
        const DocumentFile document(render_label(facts));
        CHECK_THAT(run("qpdf --check " + document.path()),
                   Catch::Contains("No syntax or stream encoding errors"));
        const std::string fonts = run("pdffonts " + document.path());
        CAPTURE(fonts);
        CHECK(std::count(fonts.begin(), fonts.end(), '\n') == 3);  // two of heading
        CHECK_THAT(fonts, Catch::Contains("yes yes yes"));         // embedded, subset, with Unicode
        const std::string info = run("pdfinfo " + document.path());
        CAPTURE(info);
        CHECK_THAT(info, Catch::Matches("[^]*Pages: +1\n[^]*"));
        CHECK_THAT(info, Catch::Contains("170.078 x 113.385 pts"));
    }
}

TEST_CASE("zbarimg reads the QR code at 203.2 dpi, and it says the label's facts") {
    for (const LabelFacts& facts : varied_facts()) {
        const std::string scanned = DocumentFile(render_label(facts)).scan();
        CHECK(scanned == qr_text(facts));
        const LabelFacts read = pairmark::label::parse_qr_text(scanned);
        CHECK(read.number == facts.number);
        CHECK(read.right == facts.right);
        CHECK(read.left == facts.left);
        CHECK(read.place == facts.place);
    }
}

TEST_CASE("on 480 x 320 dots nothing touches the edge, and every module of the QR code is whole dots") {
    for (const LabelFacts& facts : varied_facts()) {
        const Raster raster = DocumentFile(render_label(facts)).raster();
        REQUIRE(raster.width == 480);
        REQUIRE(raster.height == 320);
        constexpr int edge = 12;  // 1.5 mm
        CHECK(darkest(raster, 0, 0, 480, edge) == 255);
        CHECK(darkest(raster, 0, 320 - edge, 480, 320) == 255);
        CHECK(darkest(raster, 0, 0, edge, 320) == 255);
        CHECK(darkest(raster, 480 - edge, 0, 480, 320) == 255);
        // The symbol ends 2 mm from the right and bottom edges.
        const int side = 4 * pairmark::label::qr_code(qr_text(facts)).side;
        REQUIRE(raster.at(464 - side, 304 - side) == 0);  // its first finder's corner
        int grey = 0;
        for (int y = 304 - side; y < 304; ++y)
            for (int x = 464 - side; x < 464; ++x)
                if (raster.at(x, y) > 3 && raster.at(x, y) < 252) ++grey;
        CHECK(grey == 0);
    }
}

TEST_CASE("the power lines stand in capitals of at least 3 mm") {
    for (const LabelFacts& facts : varied_facts()) {
        const Raster raster = DocumentFile(render_label(facts)).raster();
        // The R is the first thing at the left edge below the heading: its stem is black over its whole
        // height.
        int longest = 0;
        for (int x = 16; x < 28; ++x) {
            int length = 0;
            for (int y = 36; y < 84; ++y) {
                length = raster.at(x, y) < 64 ? length + 1 : 0;
                longest = std::max(longest, length);
            }
        }
        CHECK(longest >= 24);
    }
}
