// A lens as a power vector and as a dioptric power matrix, where lenses can be added and compared whatever
// their axes.
#pragma once

#include "host/optics/power.hpp"

namespace pairmark::optics {

/// Thibos, Wheeler & Horner 1997 (Optom Vis Sci 74:367): M = S + C/2, J0 = -(C/2) cos 2A, J45 = -(C/2) sin
/// 2A, in D. Does not depend on the cylinder form.
struct PowerVector {
    double m = 0;
    double j0 = 0;
    double j45 = 0;
};

PowerVector to_vector(const Power& power);

/// The lens in minus cylinder, to the nearest millionth. A cylinder below half a millionth is none, and has
/// no axis.
Power from_vector(const PowerVector& vector);

PowerVector operator+(const PowerVector& a, const PowerVector& b);
PowerVector operator-(const PowerVector& a, const PowerVector& b);

/// sqrt(M^2 + J0^2 + J45^2), D.
double length(const PowerVector& vector);

/// Long 1976; Harris 1988. Horizontal f11, vertical f22, the cross term f12 = f21, in D.
struct PowerMatrix {
    double f11 = 0;
    double f12 = 0;
    double f22 = 0;
};

PowerMatrix to_matrix(const Power& power);

/// The power, D, along the meridian at `degrees`: S + C sin^2(degrees - A).
double power_in_meridian(const Power& power, double degrees);

}  // namespace pairmark::optics
