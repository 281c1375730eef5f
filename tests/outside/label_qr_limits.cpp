// How bad a picture of the QR code may become before zbarimg fails: blur, noise, rotation, as a phone would
// see it.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <random>
#include <string>
#include <vector>

#include "host/label/qr_text.hpp"
#include "tests/outside/label_many.hpp"

namespace {

using namespace pairmark;
using namespace pairmark::outside;

Raster picture(int width, int height) {
    Raster raster{width, height, {}};
    raster.grey.assign(static_cast<std::size_t>(width) * static_cast<std::size_t>(height),
                       static_cast<char>(255));
    return raster;
}

void set(Raster& raster, int x, int y, double grey) {
    raster.grey[static_cast<std::size_t>(y * raster.width + x)] =
        static_cast<char>(std::lround(std::clamp(grey, 0.0, 255.0)));
}

int grey_or_white(const Raster& raster, int x, int y) {
    const bool inside = x >= 0 && y >= 0 && x < raster.width && y < raster.height;
    return inside ? raster.at(x, y) : 255;
}

/// Gaussian blur of this standard deviation, in dots.
Raster blur(const Raster& sharp, double sigma) {
    const int reach = static_cast<int>(std::ceil(3 * sigma));
    std::vector<double> weights;
    double sum = 0;
    for (int i = -reach; i <= reach; ++i)
        weights.push_back(std::exp(-i * i / (2 * sigma * sigma)));
    for (const double weight : weights)
        sum += weight;
    const auto pass = [&](const Raster& from, int step_x, int step_y) {
        Raster to = picture(from.width, from.height);
        for (int y = 0; y < from.height; ++y)
            for (int x = 0; x < from.width; ++x) {
                double grey = 0;
                for (int i = -reach; i <= reach; ++i)
                    grey += weights[static_cast<std::size_t>(i + reach)] *
                            grey_or_white(from, x + i * step_x, y + i * step_y);
                set(to, x, y, grey / sum);
            }
        return to;
    };
    return pass(pass(sharp, 1, 0), 0, 1);
}

/// Turned about its middle, on a larger white ground.
Raster turn(const Raster& straight, double degrees) {
    const double angle = degrees * std::numbers::pi / 180;
    const int side = static_cast<int>(std::hypot(straight.width, straight.height)) + 2;
    Raster turned = picture(side, side);
    for (int y = 0; y < side; ++y)
        for (int x = 0; x < side; ++x) {
            const double dx = x - side / 2.0;
            const double dy = y - side / 2.0;
            const double sx = straight.width / 2.0 + dx * std::cos(angle) + dy * std::sin(angle);
            const double sy = straight.height / 2.0 - dx * std::sin(angle) + dy * std::cos(angle);
            const int ix = static_cast<int>(std::floor(sx));
            const int iy = static_cast<int>(std::floor(sy));
            const double fx = sx - ix;
            const double fy = sy - iy;
            const double upper =
                grey_or_white(straight, ix, iy) * (1 - fx) + grey_or_white(straight, ix + 1, iy) * fx;
            const double lower =
                grey_or_white(straight, ix, iy + 1) * (1 - fx) + grey_or_white(straight, ix + 1, iy + 1) * fx;
            set(turned, x, y, upper * (1 - fy) + lower * fy);
        }
    return turned;
}

/// Grey noise on every dot, of about this standard deviation (the sum of twelve even draws is nearly normal).
Raster noise(const Raster& clean, double sigma) {
    std::mt19937 random(7);
    Raster noisy = clean;
    for (int y = 0; y < clean.height; ++y)
        for (int x = 0; x < clean.width; ++x) {
            double sum = -6;
            for (int i = 0; i < 12; ++i)
                sum += static_cast<double>(random()) / 4294967296.0;
            set(noisy, x, y, clean.at(x, y) + sigma * sum);
        }
    return noisy;
}

std::string scan(const Raster& raster, const WorkFolder& folder) {
    write_pgm(raster, folder / "seen.pgm");
    const auto lines = lines_of(run("zbarimg --nodbus -q --raw " + (folder / "seen.pgm") + " || true"));
    return lines.size() == 1 ? lines[0] : std::to_string(lines.size()) + " codes";
}

}  // namespace

TEST_CASE("zbarimg reads every size's QR code sharp, blurred, noisy and turned") {
    const struct {
        double width_mm;
        double height_mm;
        int dots_per_inch;
        double blur_dots;  // standard deviations that must still be read
        double noise;      // in steps of grey, of 255
    } rows[] = {
        // Modules of 5 and 6 dots; the usual 4 are below.
        {80, 50, 203, 1.9, 40},
        {100, 60, 203, 2.2, 40},
        // 3 dots on small and low labels: the same part of a module.
        {40, 60, 203, 1.1, 40},
        {40, 20, 203, 1.1, 40},
        {60, 30, 203, 1.1, 40},
        // 300 dpi: 6 dots, and 4 on the smallest. The noise is that of smaller dots.
        {60, 40, 300, 2.2, 30},
        {40, 20, 300, 1.2, 30},
    };
    for (const auto& row : rows) {
        const WorkFolder folder;
        record::LabelPaper paper;
        paper.size = {row.width_mm, row.height_mm};
        paper.dots_per_inch = row.dots_per_inch;
        const auto labels = varied_labels(3, 11);
        const bool says_number_only = row.height_mm < 30 || row.width_mm < 50;
        const auto pictures = pictures_of(labels, paper, folder, row.dots_per_inch == 203 ? "203.2" : "300");
        for (std::size_t i = 0; i < labels.size(); ++i) {
            CAPTURE(row.width_mm, row.height_mm, row.dots_per_inch, labels[i].number);
            const std::string expected =
                says_number_only ? label::number_text(labels[i].number) : label::qr_text(labels[i]);
            const Raster sharp = read_pgm(pictures[i]);
            CHECK(scan(sharp, folder) == expected);
            CHECK(scan(blur(sharp, row.blur_dots), folder) == expected);
            CHECK(scan(noise(sharp, row.noise), folder) == expected);
            CHECK(scan(turn(sharp, 15), folder) == expected);
        }
    }
}

TEST_CASE(
    "zbarimg reads every QR code of the usual label blurred by 1.5 dots, with noise, and turned by 15 "
    "degrees") {
#if defined(__SANITIZE_ADDRESS__)
    constexpr int many = 6;
#else
    constexpr int many = 150;
#endif
    const WorkFolder folder;
    const auto labels = varied_labels(many, 5);
    const auto pictures = pictures_of(labels, {}, folder);
    for (std::size_t i = 0; i < labels.size(); ++i) {
        CAPTURE(labels[i].number);
        const std::string expected = label::qr_text(labels[i]);
        const Raster sharp = read_pgm(pictures[i]);
        CHECK(scan(blur(sharp, 1.5), folder) == expected);
        CHECK(scan(noise(sharp, 40), folder) == expected);
        CHECK(scan(turn(sharp, 15), folder) == expected);
    }
}
