// Line drawings: outlines in millimetres, x to the right and y downwards, and how they are drawn.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

namespace pairmark::label {

struct Path {
    enum class Kind { move, line, curve, close };
    struct Point {
        double x = 0;
        double y = 0;
    };
    struct Step {
        Kind kind = Kind::close;
        Point first;   // of a curve: its two control points
        Point second;  //
        Point to;
    };
    std::vector<Step> steps;
};

/// Greys from 0 (black) to 1 (white).
struct Ink {
    std::optional<double> fill;
    double line_mm = 0;  // 0: no line
    double line_grey = 0;
};

struct Painted {
    Path path;
    Ink ink;
};

/// Drawn in this order, what comes later covers what came before.
using Picture = std::vector<Painted>;

/// "M 0 0 L 10 0 C 10 5 5 10 0 10 Z": move, lines, curves with two control points, close, as in SVG,
/// absolute. Throws std::logic_error for anything else: drawings are constants of ours.
Path path_of(std::string_view text);
Path box(double x, double y, double width, double height, double radius = 0);
Path circle(double x, double y, double radius);
Path ellipse(double x, double y, double radius_x, double radius_y);
Path line(double x1, double y1, double x2, double y2);
/// A line with a filled head at its second end; two parts of a picture.
Picture arrow(double x1, double y1, double x2, double y2, double line_mm);

/// First scaled (a negative scale mirrors), then turned clockwise about the origin, then moved. Lines keep
/// their width.
struct Placing {
    double x_mm = 0;
    double y_mm = 0;
    double scale_x = 1;
    double scale_y = 1;
    double degrees = 0;
};
Path placed(Path path, const Placing& placing);
Picture placed(Picture picture, const Placing& placing);

/// Adds one picture to another.
void add(Picture& to, Picture more);

}  // namespace pairmark::label
