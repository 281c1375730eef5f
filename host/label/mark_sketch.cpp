#include "host/label/mark_sketch.hpp"

#include <array>

namespace pairmark::label {
namespace {

constexpr double thin = 0.2;
constexpr double usual = 0.35;
constexpr double thick = 0.9;

Ink lined(double line_mm, double grey = 0) {
    return {std::nullopt, line_mm, grey};
}
Ink filled(double fill, double line_mm = 0) {
    return {fill, line_mm, 0};
}

// A lens of a front, and one alone, as seen from the front.
Path front_lens(double x) {
    return box(x, 2.6, 6.1, 5, 1.9);
}
Path lone_lens() {
    return box(1.2, 0.6, 12.6, 8.8, 3.4);
}
constexpr double left_x = 0.6;
constexpr double right_x = 8.3;

Picture bridge_and_joints(double line_mm) {
    return {{path_of("M 6.7 4.4 C 7.1 3.5 7.9 3.5 8.3 4.4"), lined(line_mm)},
            {path_of("M 0.6 3.8 L 0.15 3.6"), lined(line_mm)},
            {path_of("M 14.4 3.8 L 14.85 3.6"), lined(line_mm)}};
}

Picture front(double line_mm) {
    Picture picture = bridge_and_joints(line_mm);
    for (const double x : {left_x, right_x})
        picture.push_back({front_lens(x), lined(line_mm)});
    return picture;
}

Picture rim(std::string_view value) {
    if (value == "full") return front(thick);
    if (value == "cord") {
        Picture picture = bridge_and_joints(thick);
        for (const double x : {left_x, right_x}) {
            picture.push_back({front_lens(x), lined(thin)});
            const Path upper =
                path_of("M 0 2.9 L 0 1.9 C 0 0.85 0.85 0 1.9 0 L 4.2 0 C 5.25 0 6.1 0.85 6.1 1.9 L 6.1 2.9");
            picture.push_back({placed(upper, {x, 2.6}), lined(thick)});
        }
        return picture;
    }
    Picture picture = bridge_and_joints(usual);
    for (const double x : {left_x, right_x}) {
        picture.push_back({front_lens(x), lined(thin)});
        for (const double screw : {0.75, 5.35})
            picture.push_back({circle(x + screw, 4.2, 0.32), filled(0)});
    }
    return picture;
}

Picture tint(std::string_view value) {
    const double grey = value == "light" ? 0.8 : value == "dark" ? 0.25 : 1;
    Picture picture{{lone_lens(), filled(grey, usual)}};
    if (value != "changing") return picture;
    // Dark where the sun falls on it.
    picture.push_back(
        {path_of("M 1.2 6 L 1.2 4 C 1.2 2.12 2.72 0.6 4.6 0.6 L 10.4 0.6 C 12.28 0.6 13.8 2.12 13.8 4 "
                 "L 13.8 6 C 9.5 4.2 5.5 7.8 1.2 6 Z"),
         filled(0.35)});
    picture.push_back({circle(7.5, 3, 0.85), filled(1)});
    for (int ray = 0; ray < 8; ++ray)
        picture.push_back({placed(line(1.2, 0, 1.75, 0), {7.5, 3, 1, 1, ray * 45.0}), lined(0.25, 1)});
    picture.push_back({lone_lens(), lined(usual)});
    return picture;
}

Picture scratches(std::string_view value) {
    Picture picture{{lone_lens(), lined(usual)}, {circle(7.5, 5, 3.1), lined(thin, 0.45)}};
    const Path scratch = path_of("M 0 0 L 2.4 -1.1 M 0.5 0.8 L 2.5 -0.1 M 0.2 0.45 L 1.5 -0.5");
    if (value == "outside") {
        picture.push_back({placed(scratch, {1.9, 5.6, 0.8, 0.8, 0}), lined(0.3)});
        picture.push_back({placed(scratch, {11.2, 5.4, 0.8, 0.8, 0}), lined(0.3)});
    }
    if (value == "central") picture.push_back({placed(scratch, {6, 5.3, 1.3, 1.3, 0}), lined(0.35)});
    return picture;
}

Picture pads(std::string_view value) {
    // The middle of a front, from behind.
    Picture picture{{path_of("M 0.4 1.4 C 3.6 0.9 3.9 3 3.9 9.6"), lined(0.6)},
                    {path_of("M 14.6 1.4 C 11.4 0.9 11.1 3 11.1 9.6"), lined(0.6)},
                    {path_of("M 3.4 2.6 C 5 0.6 10 0.6 11.6 2.6"), lined(0.6)}};
    if (value == "moulded") {
        picture.push_back({path_of("M 3.7 3.2 C 6 4.2 5.4 7.6 3.9 9.2 Z"), filled(0, 0.3)});
        picture.push_back({path_of("M 11.3 3.2 C 9 4.2 9.6 7.6 11.1 9.2 Z"), filled(0, 0.3)});
        return picture;
    }
    for (const double side : {-1.0, 1.0}) {
        picture.push_back(
            {placed(path_of("M 3.6 4.6 C 2.8 3.4 1.9 3.9 1.8 5.4"), {7.5, 0, side, 1}), lined(0.3)});
        if (value == "missing" && side > 0) continue;
        const Path pad = placed(ellipse(0, 0, 0.7, 1.8), {1.7, 6.8, 1, 1, -14});
        picture.push_back({placed(pad, {7.5, 0, side, 1}), filled(0.8, 0.3)});
    }
    if (value == "missing") {
        picture.push_back({line(8.4, 6.1, 10, 7.7), lined(0.4)});
        picture.push_back({line(10, 6.1, 8.4, 7.7), lined(0.4)});
    }
    return picture;
}

Picture lens_type(std::string_view value) {
    Picture picture{{lone_lens(), lined(usual)}};
    if (value == "segment")
        picture.push_back(
            {path_of("M 4.6 5.6 L 10.4 5.6 C 10.4 8.9 4.6 8.9 4.6 5.6 Z"), filled(0.85, usual)});
    if (value == "progressive") {
        // The corridor between its two blends, and the engraved marks.
        picture.push_back({path_of("M 1.9 7.6 C 5.8 7 6.6 5.4 6.6 4.4 C 6.6 5.8 6.4 8 5.2 9.3 L 4.6 9.3 C "
                                   "3.3 9.2 2.3 8.6 1.9 7.6 Z"),
                           filled(0.8)});
        picture.push_back({path_of("M 13.1 7.6 C 9.2 7 8.4 5.4 8.4 4.4 C 8.4 5.8 8.6 8 9.8 9.3 L 10.4 9.3 C "
                                   "11.7 9.2 12.7 8.6 13.1 7.6 Z"),
                           filled(0.8)});
        for (const double x : {3.4, 11.6})
            picture.push_back({circle(x, 4.6, 0.5), lined(0.25)});
        picture.push_back({lone_lens(), lined(usual)});
    }
    return picture;
}

Picture child(std::string_view value) {
    if (value != "yes") return front(0.6);
    return placed(front(0.6), {2.9, 2.2, 0.6, 0.6, 0});
}

Picture broken(std::string_view value) {
    Picture picture = front(0.6);
    if (value != "yes") return picture;
    picture.push_back(
        {path_of("M 9.2 2.8 L 10.6 4.6 L 10.1 5.4 L 11.6 6.3 L 11.3 7.5 M 10.6 4.6 L 12.6 3.9 L 13.8 4.4"),
         lined(0.3)});
    return picture;
}

struct Sketcher {
    std::string_view mark;
    Picture (*draw)(std::string_view value);
};
constexpr std::array<Sketcher, 7> sketchers{{{"rim", rim},
                                             {"tint", tint},
                                             {"scratches", scratches},
                                             {"pads", pads},
                                             {"lens_type", lens_type},
                                             {"child", child},
                                             {"broken", broken}}};

}  // namespace

bool has_sketch(std::string_view mark) {
    for (const Sketcher& one : sketchers)
        if (one.mark == mark) return true;
    return false;
}

Picture mark_sketch(std::string_view mark, std::string_view value) {
    for (const Sketcher& one : sketchers)
        if (one.mark == mark) return one.draw(value);
    return {};
}

}  // namespace pairmark::label
