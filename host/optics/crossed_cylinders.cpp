#include "host/optics/crossed_cylinders.hpp"

#include "host/optics/power_vector.hpp"

namespace pairmark::optics {

Power sum_of(const Power& a, const Power& b) {
    return from_vector(to_vector(a) + to_vector(b));
}

Power difference_of(const Power& a, const Power& b) {
    return from_vector(to_vector(a) - to_vector(b));
}

}  // namespace pairmark::optics
