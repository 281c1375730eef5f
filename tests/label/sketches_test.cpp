// The sheet's small drawings, and the outlines that they are made of.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <stdexcept>

#include "host/label/mark_sketch.hpp"
#include "host/label/wrapped.hpp"
#include "host/record/mark.hpp"

namespace {

using namespace pairmark;
using namespace pairmark::label;

std::vector<Path::Point> points_of(const Picture& picture) {
    std::vector<Path::Point> points;
    for (const Painted& one : picture)
        for (const Path::Step& step : one.path.steps) {
            if (step.kind == Path::Kind::close) continue;
            points.push_back(step.to);
            if (step.kind != Path::Kind::curve) continue;
            points.push_back(step.first);
            points.push_back(step.second);
        }
    return points;
}

/// Every letter 2 mm wide at 10 points.
double in_blocks(const std::string& text, double size_pt) {
    const auto letters = std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; });
    return static_cast<double>(letters) * 2 * size_pt / 10;
}

std::vector<std::string> lines(const std::string& text, int letters) {
    return wrapped(text, 10, 2.0 * letters, in_blocks);
}

using Lines = std::vector<std::string>;

}  // namespace

TEST_CASE("every value of a mark that is drawn has a drawing of its own, within its place") {
    int drawn = 0;
    for (const record::MarkWord& mark : record::mark_vocabulary()) {
        if (!has_sketch(mark.name)) continue;
        std::vector<std::vector<Path::Point>> seen;
        for (const std::string_view value : mark.values) {
            CAPTURE(mark.name, value);
            const Picture picture = mark_sketch(mark.name, value);
            std::vector<Path::Point> points = points_of(picture);
            REQUIRE_FALSE(points.empty());
            for (const Path::Point& point : points) {
                CHECK((point.x >= 0 && point.x <= sketch_width_mm));
                CHECK((point.y >= 0 && point.y <= sketch_height_mm));
            }
            double ink = 0;
            for (const Painted& one : picture)
                ink += 1000 * one.ink.line_mm + one.ink.fill.value_or(2);
            points.push_back({ink, 0});
            for (const auto& other : seen)
                CHECK_FALSE(std::equal(
                    points.begin(), points.end(), other.begin(), other.end(),
                    [](const Path::Point& a, const Path::Point& b) { return a.x == b.x && a.y == b.y; }));
            seen.push_back(points);
            ++drawn;
        }
    }
    CHECK(drawn >= 20);
    CHECK_FALSE(has_sketch("carrier"));
    CHECK(mark_sketch("carrier", "bag").empty());
}

TEST_CASE("an outline is read from its letters, and scaled, turned and moved in that order") {
    const Path path = path_of("M 1 2 L 3 4 C 0 0 1 1 5 -6.5 Z");
    REQUIRE(path.steps.size() == 4);
    CHECK(path.steps[2].to.y == -6.5);
    const Path turned = placed(path, {10, 20, 2, 1, 90});
    CHECK(turned.steps[0].to.x == Approx(10 - 2));
    CHECK(turned.steps[0].to.y == Approx(20 + 2));
    CHECK_THROWS_AS(path_of("M 1 2 Q 3 4"), std::logic_error);
    CHECK_THROWS_AS(path_of("M 1"), std::logic_error);
}

TEST_CASE("a circle of curves keeps its radius to a thousandth") {
    const Path round = circle(3, 4, 10);
    Path::Point from;
    for (const Path::Step& step : round.steps) {
        if (step.kind == Path::Kind::curve)
            for (const double t : {0.25, 0.5, 0.75}) {
                const double s = 1 - t;
                const auto at = [&](double a, double b, double c, double d) {
                    return s * s * s * a + 3 * s * s * t * b + 3 * s * t * t * c + t * t * t * d;
                };
                const double x = at(from.x, step.first.x, step.second.x, step.to.x) - 3;
                const double y = at(from.y, step.first.y, step.second.y, step.to.y) - 4;
                CHECK(std::hypot(x, y) == Approx(10).epsilon(0.001));
            }
        from = step.to;
    }
}

TEST_CASE("text is broken at blanks, and in a word only where the word is wider than a line") {
    CHECK(lines("one two three", 8) == Lines{"one two", "three"});
    CHECK(lines("one two three", 7) == Lines{"one two", "three"});
    CHECK(lines("one two three", 6) == Lines{"one", "two", "three"});
    CHECK(lines("a enormously b", 4) == Lines{"a", "enor", "mous", "ly b"});
    CHECK(lines("\u00e9\u00e9\u00e9\u00e9", 2) == Lines{"\u00e9\u00e9", "\u00e9\u00e9"});
    CHECK(lines("", 5) == Lines{""});
    CHECK(lines("  a   b ", 9) == Lines{"a b"});
}

TEST_CASE("a number stays with its unit") {
    CHECK(lines("is over 2.00 D", 12) == Lines{"is over", "2.00 D"});
    CHECK(lines("under 54 mm or so", 8) == Lines{"under", "54 mm or", "so"});
}
