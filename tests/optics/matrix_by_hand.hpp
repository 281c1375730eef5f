// Lenses by plain 2x2 matrices: a second way to every sum and prism, which shares no formula with the room.
// A lens is made of two powers at right angles that are turned to its axis; back to sphere, cylinder and axis
// it comes through its characteristic polynomial.
#pragma once

#include <cmath>
#include <numbers>

#include "host/optics/power.hpp"

namespace pairmark::tests {

struct Vector2 {
    double x = 0, y = 0;
};

struct Matrix2 {
    double xx = 0, xy = 0, yx = 0, yy = 0;
};

inline Matrix2 operator*(const Matrix2& a, const Matrix2& b) {
    return {a.xx * b.xx + a.xy * b.yx, a.xx * b.xy + a.xy * b.yy, a.yx * b.xx + a.yy * b.yx,
            a.yx * b.xy + a.yy * b.yy};
}

inline Matrix2 operator+(const Matrix2& a, const Matrix2& b) {
    return {a.xx + b.xx, a.xy + b.xy, a.yx + b.yx, a.yy + b.yy};
}

inline Vector2 operator*(const Matrix2& m, const Vector2& v) {
    return {m.xx * v.x + m.xy * v.y, m.yx * v.x + m.yy * v.y};
}

inline Matrix2 turn_by(double degrees) {
    const double angle = degrees * std::numbers::pi / 180;
    return {std::cos(angle), -std::sin(angle), std::sin(angle), std::cos(angle)};
}

/// x to the observer's right, y up: along the axis acts the sphere, across it sphere and cylinder.
inline Matrix2 matrix_by_hand(const optics::Power& lens) {
    const double sphere = lens.sphere.value();
    const Matrix2 upright{sphere, 0, 0, sphere + lens.cylinder.value()};
    return turn_by(lens.axis) * upright * turn_by(-lens.axis);
}

/// In D and degrees, unrounded, minus cylinder; the axis in (0, 180], anything where there is no cylinder.
struct PlainLens {
    double sphere = 0, cylinder = 0, axis = 0;
};

inline PlainLens lens_by_hand(const Matrix2& m) {
    const double half_trace = (m.xx + m.yy) / 2;
    const double root = std::sqrt(std::fmax(0, half_trace * half_trace - (m.xx * m.yy - m.xy * m.yx)));
    const double most_plus = half_trace + root;
    // Along the axis of a minus cylinder lies the direction that the matrix leaves as it is, times the most
    // plus power. Of the two rows that say so the longer one is the surer.
    const Vector2 one{m.xy, most_plus - m.xx};
    const Vector2 two{most_plus - m.yy, m.yx};
    const Vector2 along = std::hypot(one.x, one.y) > std::hypot(two.x, two.y) ? one : two;
    double axis = std::atan2(along.y, along.x) * 180 / std::numbers::pi;
    while (axis <= 0)
        axis += 180;
    return {most_plus, -2 * root, axis};
}

}  // namespace pairmark::tests
