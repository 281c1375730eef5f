#include "host/optics/power.hpp"

#include <cmath>

namespace pairmark::optics {

Dioptre Dioptre::nearest(double value) {
    return millionths(std::llround(value * 1e6));
}

}  // namespace pairmark::optics
