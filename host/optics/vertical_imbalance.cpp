#include "host/optics/vertical_imbalance.hpp"

#include "host/optics/prism.hpp"

namespace pairmark::optics {

double vertical_imbalance(const Power& right, const Power& left, double depth_mm) {
    const VisualPoint reading{.in_from_centre_mm = 0, .up_from_centre_mm = -depth_mm};
    return prismatic_effect(right, LensOf::right_eye, reading).base_up -
           prismatic_effect(left, LensOf::left_eye, reading).base_up;
}

}  // namespace pairmark::optics
