#include "host/optics/power_vector.hpp"

#include <array>
#include <cmath>
#include <numbers>

#include "host/optics/transpose.hpp"

namespace pairmark::optics {

namespace {

constexpr double degree = std::numbers::pi / 180;

struct Turn {
    double cosine;
    double sine;
};

/// Of twice the axis. Nearly every axis is a whole degree, and a bench's whole day is compared in one replay,
/// so those are looked up; the entries are what the functions below give.
Turn turn_of_double(double axis) {
    static const std::array<Turn, 181> whole_degrees = [] {
        std::array<Turn, 181> table{};
        for (std::size_t i = 0; i < table.size(); ++i) {
            const double doubled = 2 * static_cast<double>(i) * degree;
            table[i] = {std::cos(doubled), std::sin(doubled)};
        }
        return table;
    }();
    if (axis >= 0 && axis <= 180) {
        const auto whole = static_cast<std::size_t>(axis);
        if (static_cast<double>(whole) == axis) return whole_degrees[whole];
    }
    const double doubled = 2 * axis * degree;
    return {std::cos(doubled), std::sin(doubled)};
}

}  // namespace

PowerVector to_vector(const Power& power) {
    const double half = power.cylinder.value() / 2;
    const Turn turn = turn_of_double(power.axis);
    return {power.sphere.value() + half, -half * turn.cosine, -half * turn.sine};
}

Power from_vector(const PowerVector& vector) {
    const double half = std::hypot(vector.j0, vector.j45);
    const Dioptre cylinder = Dioptre::nearest(-2 * half);
    const Dioptre sphere = Dioptre::nearest(vector.m + half);
    if (cylinder == Dioptre{}) return {sphere, Dioptre{}, 0};
    // atan2 on the double angle: a plain arc tangent would be off by 90 degrees in half of all cases.
    const double axis = std::atan2(vector.j45, vector.j0) / 2 / degree;
    return {sphere, cylinder, turned_into_range(std::round(axis * 1e6) / 1e6)};
}

PowerVector operator+(const PowerVector& a, const PowerVector& b) {
    return {a.m + b.m, a.j0 + b.j0, a.j45 + b.j45};
}

PowerVector operator-(const PowerVector& a, const PowerVector& b) {
    return {a.m - b.m, a.j0 - b.j0, a.j45 - b.j45};
}

double length(const PowerVector& vector) {
    return std::hypot(vector.m, vector.j0, vector.j45);
}

PowerMatrix to_matrix(const Power& power) {
    return to_matrix(to_vector(power));
}

PowerMatrix to_matrix(const PowerVector& vector) {
    return {vector.m + vector.j0, vector.j45, vector.m - vector.j0};
}

PowerVector to_vector(const PowerMatrix& matrix) {
    return {(matrix.f11 + matrix.f22) / 2, (matrix.f11 - matrix.f22) / 2, matrix.f12};
}

double power_in_meridian(const Power& power, double degrees) {
    const double sine = std::sin((degrees - power.axis) * degree);
    return power.sphere.value() + power.cylinder.value() * sine * sine;
}

}  // namespace pairmark::optics
