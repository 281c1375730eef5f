// An instrument of the trials' own: what it sends and the compact profile that reads it.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace pairmark::sim {

/// 9600 baud, 8N1, quarter steps: eye, sphere, cylinder, axis, as in "R +1.25 -0.50 085" and a line end.
std::vector<uint8_t> trial_profile();

/// The capture of the reading number `index`, from 0 to 47; each has a sphere of its own.
std::string trial_capture(unsigned index);

/// Its sphere in hundredths of a dioptre.
int trial_sphere(unsigned index);

}  // namespace pairmark::sim
