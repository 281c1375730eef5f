// What makes people see double when they read: the two lenses lift the line of sight by different amounts.
#pragma once

#include "host/optics/power.hpp"

namespace pairmark::optics {

/// The depth that the trade reckons with for reading, in mm below the optical centres (as in McCarthy, Back
/// to basics in dispensing 8: Anisometropia).
constexpr double reading_depth_mm = 10;

/// The base-up effect of the right lens less that of the left, in prism dioptres, straight below both optical
/// centres: plus is base up before the right eye, minus base up before the left. (Base down before the other
/// eye is the same.) It is the difference of the two powers in the vertical, f22, times the depth in cm: the
/// cross term f12 lifts nothing at a point that lies neither in nor out. The eyes' turning inward is left
/// out. This is not the imbalance that standards give mounted lenses a tolerance for, which is measured at
/// their reference points. Precondition: 0 <= depth_mm. The last bits are dust (compare.hpp).
double vertical_imbalance(const Power& right, const Power& left, double depth_mm = reading_depth_mm);

}  // namespace pairmark::optics
