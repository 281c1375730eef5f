#include "host/optics/prism.hpp"

#include <cmath>
#include <numbers>

#include "host/optics/compare.hpp"
#include "host/optics/power_vector.hpp"

namespace pairmark::optics {

namespace {

constexpr double mm_in_a_cm = 10;

/// The observer faces the wearer: the nasal side of the right lens lies to the observer's right. The same
/// turn leads back. Adding 0 makes a plain zero of minus zero.
double turned_for(LensOf eye, double in) {
    return (eye == LensOf::right_eye ? in : -in) + 0.0;
}

}  // namespace

PrismaticEffect prismatic_effect(const Power& lens, LensOf eye, const Decentration& decentration) {
    const PowerMatrix power = to_matrix(lens);
    const double x = turned_for(eye, decentration.centre_in_mm) / mm_in_a_cm;
    const double y = decentration.centre_up_mm / mm_in_a_cm;
    return {turned_for(eye, power.f11 * x + power.f12 * y), power.f12 * x + power.f22 * y + 0.0};
}

PrismaticEffect prismatic_effect(const Power& lens, LensOf eye, const VisualPoint& point) {
    return prismatic_effect(lens, eye, decentration_of(point));
}

double resultant(const PrismaticEffect& effect) {
    return std::hypot(effect.base_in, effect.base_up);
}

double base_setting(const PrismaticEffect& effect, LensOf eye) {
    if (!is_over(resultant(effect), 0)) return 0;
    const double degrees =
        std::atan2(effect.base_up, turned_for(eye, effect.base_in)) * 180 / std::numbers::pi;
    // A tiny angle below the horizontal may come to 360 itself, which is written 0.
    const double turned = degrees < 0 ? degrees + 360 : degrees;
    return turned < 360 ? turned + 0.0 : 0;
}

}  // namespace pairmark::optics
