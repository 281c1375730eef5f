// From the measured lens to the one that stands on the label.
#pragma once

#include "host/optics/power.hpp"

namespace pairmark::optics {

/// The step of the label's numbers: 0.25 D (common practice; HL7 FHIR VisionPrescription says the same).
constexpr Dioptre label_step = Dioptre::hundredths(25);

/// The lens as it stands on a label: first transposed, unrounded, to minus cylinder, then sphere and cylinder
/// each to the nearest `step` (above 0), the axis to the whole degree. Where a value lies exactly half way,
/// the candidates' spherical equivalents decide: the one nearest to the unrounded lens; if still equal the
/// weaker cylinder, then the more plus sphere. A cylinder that rounds to 0 takes its axis with it (0). No
/// binary fraction is involved: a tie is a tie.
Power on_label(const Power& measured, Dioptre step = label_step);

/// The axis in whole degrees, 1 to 180: half a degree goes up, and what comes to 0 is 180.
double whole_degree(double axis);

/// True if sphere and cylinder are both whole multiples of `step`.
bool is_on_grid(const Power& power, Dioptre step = label_step);

/// An eighth of a dioptre of which the instrument showed two digits, cut off, not rounded: .12 .37 .62 .87
/// become .125 .375 .625 .875; every other value stays. Only for an instrument whose step is known to be 1/8
/// D: from any other, 0.12 is 0.12.
Dioptre repair_cut_eighth(Dioptre shown);
Power repair_cut_eighths(const Power& shown);

}  // namespace pairmark::optics
