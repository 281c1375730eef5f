// The label's powers and QR code read off its picture by programs that know nothing of it: tesseract,
// zbarimg.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <vector>

#include "host/label/layout.hpp"
#include "host/label/qr_text.hpp"
#include "host/label/words.hpp"
#include "tests/outside/label_many.hpp"

namespace {

using namespace pairmark;
using namespace pairmark::outside;

// Three times as large, between the dots linearly: tesseract wants capitals of some 30 dots and more.
Raster enlarge(const Raster& small, int top, int bottom) {
    constexpr int times = 3;
    Raster large;
    large.width = small.width * times;
    large.height = (bottom - top) * times;
    large.grey.resize(static_cast<std::size_t>(large.width) * static_cast<std::size_t>(large.height));
    for (int y = 0; y < large.height; ++y)
        for (int x = 0; x < large.width; ++x) {
            const double sx = std::clamp((x + 0.5) / times - 0.5, 0.0, small.width - 1.001);
            const double sy = std::clamp(top + (y + 0.5) / times - 0.5, 0.0, small.height - 1.001);
            const int ix = static_cast<int>(sx);
            const int iy = static_cast<int>(sy);
            const double fx = sx - ix;
            const double fy = sy - iy;
            const double upper = small.at(ix, iy) * (1 - fx) + small.at(ix + 1, iy) * fx;
            const double lower = small.at(ix, iy + 1) * (1 - fx) + small.at(ix + 1, iy + 1) * fx;
            large.grey[static_cast<std::size_t>(y * large.width + x)] =
                static_cast<char>(std::lround(upper * (1 - fy) + lower * fy));
        }
    return large;
}

void append_below(Raster& pile, const Raster& more) {
    constexpr int between = 40;
    pile.width = more.width;
    pile.height += more.height + between;
    pile.grey += more.grey;
    pile.grey.append(static_cast<std::size_t>(more.width) * between, static_cast<char>(255));
}

/// What tesseract calls the line: it knows neither the true minus nor the multiplication sign, and its blanks
/// depend on the spacing it guesses.
std::string as_tesseract_spells(const std::string& line) {
    std::string spelt;
    for (std::size_t i = 0; i < line.size(); ++i) {
        if (line.compare(i, 3, "\u2212") == 0) {
            spelt += '-';
            i += 2;
        } else if (line.compare(i, 2, "\u00d7") == 0) {
            spelt += 'x';
            ++i;
        } else if (line[i] != ' ') {
            spelt += line[i];
        }
    }
    return spelt;
}

// Under the sanitizers a few do: they look for faults in the code, not in the picture.
#if defined(__SANITIZE_ADDRESS__)
constexpr int many = 40;
constexpr int some = 20;
#else
constexpr int many = 520;
constexpr int some = 60;
#endif

int count_wrong_lines(int count, const record::LabelSize& size, unsigned seed) {
    const WorkFolder folder;
    record::LabelPaper paper;
    paper.size = size;
    const auto labels = varied_labels(count, seed);
    const auto pictures = pictures_of(labels, paper, folder);
    const label::Layout layout = label::layout_for(size, 203);
    const double capitals = layout.power.largest_pt * label::capital_mm_per_pt;
    const int top =
        static_cast<int>((layout.right_baseline_mm - capitals - 0.4 * layout.gap_mm) / layout.dot_mm);
    const int bottom = static_cast<int>((layout.left_baseline_mm + 0.4 * layout.gap_mm) / layout.dot_mm);
    int wrong = 0;
    constexpr std::size_t batch = 20;
    for (std::size_t first = 0; first < labels.size(); first += batch) {
        Raster pile;
        std::vector<std::string> expected;
        for (std::size_t i = first; i < std::min(first + batch, labels.size()); ++i) {
            append_below(pile, enlarge(read_pgm(pictures[i]), top, bottom));
            expected.push_back(as_tesseract_spells(label::line_of(record::Eye::right, labels[i].right)));
            expected.push_back(as_tesseract_spells(label::line_of(record::Eye::left, labels[i].left)));
        }
        write_pgm(pile, folder / "pile.pgm");
        std::vector<std::string> read;
        for (const std::string& line :
             lines_of(run("tesseract " + (folder / "pile.pgm") +
                          " stdout --psm 6 -c tessedit_char_whitelist=RLDS+-.0123456789x")))
            if (line.find_first_not_of(" \f") != std::string::npos) read.push_back(as_tesseract_spells(line));
        INFO("labels from " << first << ": " << read.size() << " lines of " << expected.size());
        CHECK(read.size() == expected.size());
        if (read.size() != expected.size()) return count;
        for (std::size_t i = 0; i < expected.size(); ++i) {
            if (read[i] == expected[i]) continue;
            ++wrong;
            UNSCOPED_INFO(expected[i] << " was read as " << read[i]);
        }
    }
    return wrong;
}

}  // namespace

TEST_CASE("tesseract reads both power lines of 520 varied labels off the 203 dpi picture without a mistake") {
    CHECK(count_wrong_lines(many, {60, 40}, 1) == 0);
}

TEST_CASE("tesseract reads the power lines of the smallest and the largest label without a mistake") {
    CHECK(count_wrong_lines(some, {40, 20}, 2) == 0);
    CHECK(count_wrong_lines(some, {100, 60}, 3) == 0);
}

TEST_CASE("zbarimg reads the QR codes of 520 varied labels at 203 dpi, and each says its label's facts") {
    const WorkFolder folder;
    const auto labels = varied_labels(many, 1);
    std::string files;
    for (const std::string& picture : pictures_of(labels, {}, folder))
        files += ' ' + picture;
    const auto read = lines_of(run("zbarimg --nodbus -q --raw" + files));
    REQUIRE(read.size() == labels.size());
    for (std::size_t i = 0; i < labels.size(); ++i) {
        const record::LabelFacts facts = label::parse_qr_text(read[i]);
        REQUIRE(facts.number == labels[i].number);
        REQUIRE(facts.right == labels[i].right);
        REQUIRE(facts.left == labels[i].left);
        REQUIRE(facts.right_addition == labels[i].right_addition);
        REQUIRE(facts.place == labels[i].place);
    }
}
