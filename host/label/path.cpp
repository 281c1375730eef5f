#include "host/label/path.hpp"

#include <charconv>
#include <cmath>
#include <iterator>
#include <numbers>
#include <stdexcept>
#include <string>

namespace pairmark::label {
namespace {

using Point = Path::Point;
using Kind = Path::Kind;

// A quarter of a circle as one curve: control points this far along the tangents, radius 1.
constexpr double quarter = 0.5522847498;

class Reader {
  public:
    explicit Reader(std::string_view text) : rest_(text) {}

    bool at_end() {
        while (!rest_.empty() && rest_.front() == ' ')
            rest_.remove_prefix(1);
        return rest_.empty();
    }
    char letter() {
        (void)at_end();
        const char one = rest_.empty() ? '\0' : rest_.front();
        if (one < 'A' || one > 'Z') return last_;
        rest_.remove_prefix(1);
        last_ = one;
        return one;
    }
    Point point() {
        const double x = number();
        return {x, number()};
    }

  private:
    double number() {
        (void)at_end();
        double value = 0;
        const auto [end, error] = std::from_chars(rest_.data(), rest_.data() + rest_.size(), value);
        if (error != std::errc())
            throw std::logic_error("a drawing's path is wrong at: " + std::string(rest_));
        rest_.remove_prefix(static_cast<std::size_t>(end - rest_.data()));
        return value;
    }
    std::string_view rest_;
    char last_ = '\0';
};

}  // namespace

Path path_of(std::string_view text) {
    Path path;
    Reader reader(text);
    while (!reader.at_end()) {
        Path::Step step;
        switch (reader.letter()) {
            case 'M':
                step.kind = Kind::move;
                step.to = reader.point();
                break;
            case 'L':
                step.kind = Kind::line;
                step.to = reader.point();
                break;
            case 'C':
                step.kind = Kind::curve;
                step.first = reader.point();
                step.second = reader.point();
                step.to = reader.point();
                break;
            case 'Z':
                step.kind = Kind::close;
                break;
            default:
                throw std::logic_error("a drawing's path has only M, L, C and Z");
        }
        path.steps.push_back(step);
    }
    return path;
}

Path box(double x, double y, double width, double height, double radius) {
    const double right = x + width;
    const double bottom = y + height;
    const double bend = radius * (1 - quarter);
    Path path;
    const auto line_to = [&path](double to_x, double to_y) {
        path.steps.push_back({Kind::line, {}, {}, {to_x, to_y}});
    };
    const auto curve_to = [&](Point first, Point second, Point to) {
        if (radius > 0) path.steps.push_back({Kind::curve, first, second, to});
    };
    path.steps.push_back({Kind::move, {}, {}, {x + radius, y}});
    line_to(right - radius, y);
    curve_to({right - bend, y}, {right, y + bend}, {right, y + radius});
    line_to(right, bottom - radius);
    curve_to({right, bottom - bend}, {right - bend, bottom}, {right - radius, bottom});
    line_to(x + radius, bottom);
    curve_to({x + bend, bottom}, {x, bottom - bend}, {x, bottom - radius});
    line_to(x, y + radius);
    curve_to({x, y + bend}, {x + bend, y}, {x + radius, y});
    path.steps.push_back({Kind::close, {}, {}, {}});
    return path;
}

Path ellipse(double x, double y, double radius_x, double radius_y) {
    return placed(box(-1, -1, 2, 2, 1), {x, y, radius_x, radius_y, 0});
}

Path circle(double x, double y, double radius) {
    return ellipse(x, y, radius, radius);
}

Path line(double x1, double y1, double x2, double y2) {
    return {{{Kind::move, {}, {}, {x1, y1}}, {Kind::line, {}, {}, {x2, y2}}}};
}

Picture arrow(double x1, double y1, double x2, double y2, double line_mm) {
    const double degrees = std::atan2(y2 - y1, x2 - x1) * 180 / std::numbers::pi;
    const double length = std::hypot(x2 - x1, y2 - y1);
    const Path head = path_of("M 0 0 L -2 0.8 L -2 -0.8 Z");
    const double end = (length - 1.5) / length;
    return {{line(x1, y1, x1 + (x2 - x1) * end, y1 + (y2 - y1) * end), {std::nullopt, line_mm, 0}},
            {placed(head, {x2, y2, 1, 1, degrees}), {0.0, 0, 0}}};
}

Path placed(Path path, const Placing& placing) {
    const double angle = placing.degrees * std::numbers::pi / 180;
    const auto move = [&](Point& point) {
        const double x = point.x * placing.scale_x;
        const double y = point.y * placing.scale_y;
        point = {placing.x_mm + x * std::cos(angle) - y * std::sin(angle),
                 placing.y_mm + x * std::sin(angle) + y * std::cos(angle)};
    };
    for (Path::Step& step : path.steps) {
        move(step.first);
        move(step.second);
        move(step.to);
    }
    return path;
}

Picture placed(Picture picture, const Placing& placing) {
    for (Painted& one : picture)
        one.path = placed(std::move(one.path), placing);
    return picture;
}

void add(Picture& to, Picture more) {
    to.insert(to.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

}  // namespace pairmark::label
