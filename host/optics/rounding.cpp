#include "host/optics/rounding.hpp"

#include <cmath>
#include <cstdlib>
#include <initializer_list>
#include <tuple>

#include "host/optics/transpose.hpp"

namespace pairmark::optics {

namespace {

/// The multiples of the step that are nearest: two on a tie, else the same one twice.
struct Nearest {
    std::int64_t lower;
    std::int64_t upper;
};

Nearest nearest_multiples(std::int64_t value, std::int64_t step) {
    const std::int64_t below = value / step - (value % step < 0 ? 1 : 0);
    const std::int64_t rest = value - below * step;
    const std::int64_t low = below * step;
    const std::int64_t high = low + step;
    if (2 * rest == step) return {low, high};
    return 2 * rest < step ? Nearest{low, low} : Nearest{high, high};
}

}  // namespace

Power on_label(const Power& measured, Dioptre step) {
    const Power lens = to_minus_cylinder(measured);
    const std::int64_t sphere = lens.sphere.in_millionths();
    const std::int64_t cylinder = lens.cylinder.in_millionths();
    const Nearest spheres = nearest_multiples(sphere, step.in_millionths());
    const Nearest cylinders = nearest_multiples(cylinder, step.in_millionths());

    // Twice the spherical equivalent keeps to whole numbers. The smallest of (distance, strength, -sphere) is
    // the choice.
    using Rank = std::tuple<std::int64_t, std::int64_t, std::int64_t>;
    const auto rank = [&](std::int64_t s, std::int64_t c) {
        return Rank{std::abs((2 * s + c) - (2 * sphere + cylinder)), std::abs(c), -s};
    };
    std::int64_t best_sphere = spheres.lower;
    std::int64_t best_cylinder = cylinders.lower;
    for (const std::int64_t s : {spheres.lower, spheres.upper}) {
        for (const std::int64_t c : {cylinders.lower, cylinders.upper}) {
            if (rank(s, c) < rank(best_sphere, best_cylinder)) {
                best_sphere = s;
                best_cylinder = c;
            }
        }
    }
    return {Dioptre::millionths(best_sphere), Dioptre::millionths(best_cylinder),
            best_cylinder != 0 ? whole_degree(lens.axis) : 0.0};
}

double whole_degree(double axis) {
    return turned_into_range(std::floor(axis + 0.5));
}

bool is_on_grid(const Power& power, Dioptre step) {
    return power.sphere.in_millionths() % step.in_millionths() == 0 &&
           power.cylinder.in_millionths() % step.in_millionths() == 0;
}

Dioptre repair_cut_eighth(Dioptre shown) {
    const std::int64_t size = std::abs(shown.in_millionths());
    if (size % 250'000 != 120'000) return shown;  // of .00 .12 .25 .37 .50 .62 .75 .87 the cut ones
    const Dioptre half_hundredth = Dioptre::millionths(5'000);
    return shown < Dioptre{} ? shown - half_hundredth : shown + half_hundredth;
}

Power repair_cut_eighths(const Power& shown) {
    return {repair_cut_eighth(shown.sphere), repair_cut_eighth(shown.cylinder), shown.axis};
}

}  // namespace pairmark::optics
