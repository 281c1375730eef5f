// Labels of every size as poppler rasterises them: nothing clipped, nothing over anything else, whole dots in
// the code.
#include <algorithm>
#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "host/label/document.hpp"
#include "host/label/draw.hpp"
#include "host/label/glyphs.hpp"
#include "tests/label/sizes_for_tests.hpp"
#include "tests/outside/label_many.hpp"

namespace {

using namespace pairmark;
using namespace pairmark::label_tests;
using namespace pairmark::outside;

// Dots of the raster that are not white in a rectangle, right and bottom not included.
int count_ink(const Raster& raster, int left, int top, int right, int bottom) {
    int ink = 0;
    for (int y = std::max(top, 0); y < std::min(bottom, raster.height); ++y)
        for (int x = std::max(left, 0); x < std::min(right, raster.width); ++x)
            if (raster.at(x, y) < 250) ++ink;
    return ink;
}

}  // namespace

TEST_CASE(
    "on the raster of every size nothing comes nearer to the edge than a millimetre, and QR modules are "
    "whole dots") {
    for (const record::LabelSize& size : usual_sizes())
        for (const int dpi : {203, 300}) {
            CAPTURE(size.width_mm, size.height_mm, dpi);
            record::LabelPaper paper;
            paper.size = size;
            paper.dots_per_inch = dpi;
            const record::LabelFacts facts = fullest_facts_for(size);
            const DocumentFile document(label::render_document(facts, paper));
            const Raster raster = document.raster(dpi == 203 ? eight_dots_a_mm : "300");
            const double dots = dpi == 203 ? 8 : 300 / 25.4;
            const int edge = static_cast<int>(dots);
            const int width = static_cast<int>(size.width_mm * dots);
            const int height = static_cast<int>(size.height_mm * dots);
            REQUIRE(raster.width >= width);
            CHECK(count_ink(raster, 0, 0, raster.width, edge) == 0);
            CHECK(count_ink(raster, 0, height - edge, raster.width, raster.height) == 0);
            CHECK(count_ink(raster, 0, 0, edge, raster.height) == 0);
            CHECK(count_ink(raster, width - edge, 0, raster.width, raster.height) == 0);

            label::Document measuring;
            const auto drawing =
                label::compose_label(facts, label::layout_for(size, dpi), label::measure_with(measuring));
            REQUIRE(drawing.code);
            const int x0 = static_cast<int>(drawing.code->x_mm * dots + 0.5);
            const int y0 = static_cast<int>(drawing.code->y_mm * dots + 0.5);
            const int module = drawing.code->dots_per_module;
            const int side = drawing.code->code.side * module;
            int grey = 0;
            int broken = 0;
            for (int y = 0; y < side; ++y)
                for (int x = 0; x < side; ++x) {
                    const int here = raster.at(x0 + x, y0 + y);
                    if (here > 8 && here < 247) ++grey;
                    const int corner = raster.at(x0 + x / module * module, y0 + y / module * module);
                    if ((here < 128) != (corner < 128)) ++broken;
                }
            CHECK(grey == 0);
            CHECK(broken == 0);
            // Its quiet zone: white to the left and above.
            const int quiet = 4 * module;
            CHECK(count_ink(raster, x0 - quiet, y0 - quiet, x0, y0 + side) == 0);
            CHECK(count_ink(raster, x0 - quiet, y0 - quiet, x0 + side, y0) == 0);
        }
}

TEST_CASE("every character that a label may hold leaves ink of its own, not the box of a missing one") {
    // A grid of characters on one page, each in a cell of 5 x 8 mm, the missing one first.
    std::vector<std::string> characters{"\u4e00"};
    for (char32_t c = 0x21; c < 0x2600; ++c) {
        if (!label::has_glyph(c)) continue;
        std::string text;
        if (c < 0x80) {
            text = static_cast<char>(c);
        } else if (c < 0x800) {
            text = {static_cast<char>(0xC0 | c >> 6), static_cast<char>(0x80 | (c & 0x3F))};
        } else {
            text = {static_cast<char>(0xE0 | c >> 12), static_cast<char>(0x80 | (c >> 6 & 0x3F)),
                    static_cast<char>(0x80 | (c & 0x3F))};
        }
        characters.push_back(text);
    }
    REQUIRE(characters.size() > 400);
    constexpr int columns = 30;
    const int rows = static_cast<int>(characters.size()) / columns + 1;
    const std::string bytes = label::make_document([&](label::Document& document) {
        document.begin_page(columns * 6, rows * 8);
        for (std::size_t i = 0; i < characters.size(); ++i)
            document.write(characters[i], 14, static_cast<int>(i) % columns * 6 + 0.5,
                           static_cast<int>(i) / columns * 8 + 6);
    });
    const Raster raster = DocumentFile(bytes).raster();
    const auto cell = [&raster](std::size_t i) {
        std::string dots;
        const int x = static_cast<int>(i) % columns * 48;
        const int y = static_cast<int>(i) / columns * 64;
        for (int row = y; row < y + 64; ++row)
            dots += raster.grey.substr(static_cast<std::size_t>(row * raster.width + x), 48);
        return dots;
    };
    const std::string missing = cell(0);
    for (std::size_t i = 1; i < characters.size(); ++i) {
        CAPTURE(characters[i]);
        const std::string dots = cell(i);
        const auto ink = std::count_if(dots.begin(), dots.end(),
                                       [](char c) { return static_cast<unsigned char>(c) < 128; });
        REQUIRE(ink > 3);
        REQUIRE(dots != missing);
    }
}

TEST_CASE("the second page is the spectacles' own label in its own size, with powers and number") {
    record::LabelPaper paper;
    paper.for_spectacles = record::LabelSize{40, 20};
    const record::LabelFacts facts = usual_facts();
    const DocumentFile document(label::render_document(facts, paper));
    const std::string info = run("pdfinfo -f 1 -l 2 " + document.path());
    CAPTURE(info);
    CHECK_THAT(info, Catch::Contains("170.078 x 113.385 pts") && Catch::Contains("113.385 x 56.692 pts"));
    const auto text = run("pdftotext -enc UTF-8 -f 2 -l 2 " + document.path() + " -");
    CHECK_THAT(text, Catch::Contains("R −1.25 −0.50 × 085") && Catch::Contains("L +2.00 DS") &&
                         Catch::Contains(facts.number));
    const Raster raster = document.raster(eight_dots_a_mm, 2);
    REQUIRE(raster.width == 320);
    REQUIRE(raster.height == 160);
    CHECK(count_ink(raster, 0, 0, 320, 6) == 0);
    CHECK(count_ink(raster, 314, 0, 320, 160) == 0);
}
