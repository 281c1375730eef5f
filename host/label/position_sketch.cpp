#include "host/label/position_sketch.hpp"

namespace pairmark::label {
namespace {

constexpr double words_pt = 9;

Ink lined(double line_mm) {
    return {std::nullopt, line_mm, 0};
}

/// The lens meter from the side; the tip of its stop is the origin.
Picture lens_meter() {
    const Ink white_inside{1.0, 0.4, 0};
    return {{box(12, -6.4, 23, 22.9, 2.2), white_inside},
            {path_of("M 0 -1.6 L 12 -5 L 12 5 L 0 1.6 Z"), white_inside},
            {box(-11.5, 9.7, 23.5, 2.1), {0.0, 0, 0}},
            {box(-14, 16.5, 55, 3, 1), white_inside}};
}

/// Spectacles from the side, their back surface against the origin, the wearer on the right.
Picture spectacles_from_side() {
    const Path side = path_of("M 3.6 -9 L 40 -9 C 43.6 -9 45.2 -6.5 47 -2");
    return {{path_of("M 1.4 -8.1 C -1.4 -5.4 -2.5 -2.2 -2.5 0 C -2.5 2.2 -1.4 5.4 1.4 8.1 L 3 8.1 C 0.9 5 0 "
                     "2.2 0 0 C 0 "
                     "-2.2 0.9 -5 3 -8.1 Z"),
             {0.85, 0.35, 0}},
            {side, {std::nullopt, 2.6, 1}},
            {side, lined(1.2)},
            {box(0.7, -10.2, 3.6, 2.7, 0.7), {0.0, 0, 0}},
            {box(0.7, 7.5, 3.6, 2.2, 0.5), {0.0, 0, 0}}};
}

Picture eye() {
    return {{path_of("M -4.4 0 C -2 -3.4 2 -3.4 4.4 0 C 2 3.4 -2 3.4 -4.4 0 Z"), lined(0.5)},
            {circle(0.7, 0, 1.35), {0.0, 0, 0}}};
}

/// The front as the volunteer sees it; the origin lies between the lower rims.
Picture front_on_table() {
    const Ink rim{1.0, 1.3, 0};
    Picture picture{{path_of("M -5 -11 C -2.5 -13.6 2.5 -13.6 5 -11"), lined(1.3)},
                    {box(-27, -16, 22, 15.3, 6), rim},
                    {box(5, -16, 22, 15.3, 6), rim},
                    {box(-38, 0, 76, 2.2), {0.0, 0, 0}}};
    // The stop behind the lens that is measured first.
    picture.push_back({circle(-16, -8.3, 4.4), {std::nullopt, 0.3, 0.5}});
    picture.push_back({circle(-16, -8.3, 1.4), {std::nullopt, 0.3, 0.5}});
    return picture;
}

class Words {
  public:
    Words(Page& page, const Measure& measure, double x, double y)
        : page_(page), measure_(measure), x_(x), y_(y) {}
    void write(const std::string& text, double x, double baseline, double size_pt = words_pt) const {
        page_.texts.push_back({text, size_pt, x_ + x, y_ + baseline});
    }
    void centred(const std::string& text, double x, double baseline, double size_pt = words_pt) const {
        write(text, x - measure_(text, size_pt) / 2, baseline, size_pt);
    }

  private:
    Page& page_;
    const Measure& measure_;
    double x_;
    double y_;
};

}  // namespace

void put_position(Page& page, double x_mm, double y_mm, const Measure& measure) {
    Picture picture;
    constexpr double stop_x = 35;
    constexpr double stop_y = 17.5;
    add(picture, placed(lens_meter(), {stop_x, stop_y}));
    add(picture, placed(spectacles_from_side(), {stop_x, stop_y}));
    add(picture, placed(eye(), {7, stop_y}));
    add(picture, arrow(13, stop_y, 30, stop_y, 0.25));
    picture.push_back({line(30, 5.4, stop_x - 0.2, stop_y - 3), lined(0.2)});
    picture.push_back({line(62, 5.4, 62, stop_y - 10), lined(0.2)});
    picture.push_back({line(21, stop_y + 14, stop_x + 1.5, stop_y + 9.7), lined(0.2)});

    constexpr double front_x = 46;
    constexpr double front_y = 64;
    add(picture, placed(front_on_table(), {front_x, front_y}));
    add(picture, arrow(front_x + 23, front_y - 8.3, front_x + 9, front_y - 8.3, 0.5));
    add(page.shapes, placed(std::move(picture), {x_mm, y_mm}));

    const Words words(page, measure, x_mm, y_mm);
    words.write("Back surface on the stop", 0, 4);
    words.write("Sides away from you", 51, 4);
    words.centred("you", 7, stop_y + 7);
    words.write("Lower rims", 0, stop_y + 14);
    words.write("on the table", 0, stop_y + 18);
    words.centred("lens meter", stop_x + 23.5, stop_y + 4);
    words.centred("first: R", front_x - 22, front_y - 22.6, 12);
    words.centred("the wearer's right, on your left", front_x - 22, front_y - 18.4);
    words.centred("then: L", front_x + 22, front_y - 22.6, 12);
    words.centred("push it, do not turn it", front_x + 24, front_y - 18.4);
    words.centred("You look at the front. Both lower rims touch the table.", front_x, front_y + 6.2);
    words.centred("Never the front surface on the stop, never tilted.", front_x, front_y + 10.4);
}

}  // namespace pairmark::label
