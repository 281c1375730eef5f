// The prismatic effect of a lens beside its optical centre: Prentice's rule, for any lens.
//
// Two places are easily taken for each other, and with them the base turns round: where the eye looks through
// the lens, seen from the optical centre (VisualPoint), and where the optical centre lies, seen from where
// the eye looks (Decentration). They are two types with different members, and none turns into the other
// without being told. A plus lens has its base toward the optical centre, a minus lens away from it.
//
// Distances in mm along the lens plane, toward the nose ("in") and up; outward and down are minus. Thin lens,
// small angles: the rule itself knows no thickness, no vertex distance and no obliquity.
#pragma once

#include "host/optics/power.hpp"

namespace pairmark::optics {

/// The eye for which the lens stands; "in" lies on different sides of the two.
enum class LensOf { right_eye, left_eye };

/// Where the line of sight passes through the lens, from the optical centre.
struct VisualPoint {
    double in_from_centre_mm = 0;
    double up_from_centre_mm = 0;
};

/// Where the optical centre lies, from the point that is looked through.
struct Decentration {
    double centre_in_mm = 0;
    double centre_up_mm = 0;
};

/// The same place, told the other way round.
constexpr VisualPoint visual_point_of(const Decentration& decentration) {
    return {-decentration.centre_in_mm, -decentration.centre_up_mm};
}
constexpr Decentration decentration_of(const VisualPoint& point) {
    return {-point.in_from_centre_mm, -point.up_from_centre_mm};
}

/// In prism dioptres (cm/m). Base out and base down are minus.
struct PrismaticEffect {
    double base_in = 0;
    double base_up = 0;
};

/// Prentice's rule for a sphere and a cylinder at any axis: the power matrix times the decentration in cm
/// (Long 1976, PubMed 937469). In the component form of Jalie, as The Indian Optician prints it (Nov-Dec
/// 2024, p. 139), base up = y S + C cos t (x sin t + y cos t), base out = x S + C sin t (x sin t + y cos t),
/// with x outward and y up in cm, the axis t is binasal: the ISO 8429 axis for the right lens, 180 less that
/// axis for the left. Here the axis is always that of ISO 8429. The last bits are dust (compare.hpp).
PrismaticEffect prismatic_effect(const Power& lens, LensOf eye, const Decentration& decentration);
PrismaticEffect prismatic_effect(const Power& lens, LensOf eye, const VisualPoint& point);

/// The one prism that both components make, in prism dioptres, never below 0.
double resultant(const PrismaticEffect& effect);

/// Its base setting by ISO 8429: degrees from 0 to below 360, counter-clockwise from the right of an observer
/// who faces the wearer; up is 90, down 270, in is 0 before the right eye and 180 before the left. Without a
/// prism it has no meaning and is 0.
double base_setting(const PrismaticEffect& effect, LensOf eye);

}  // namespace pairmark::optics
