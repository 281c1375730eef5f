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

/// The lens in minus cylinder, powers to the nearest millionth, the axis to the nearest millionth of a degree
/// in (0, 180]; so a lens of whole millionths with such an axis comes back exactly. A cylinder below half a
/// millionth is none, and has no axis (0). Precondition: each part finite and within ±400 D.
Power from_vector(const PowerVector& vector);

PowerVector operator+(const PowerVector& a, const PowerVector& b);
PowerVector operator-(const PowerVector& a, const PowerVector& b);

/// sqrt(M^2 + J0^2 + J45^2), D.
double length(const PowerVector& vector);

/// The dioptric power matrix (Long 1976, PubMed 937469; Harris 1988, PubMed 3207150), in
/// D: f11 = S + C sin^2 A, f12 = f21 = -C sin A cos A, f22 = S + C cos^2 A. x is horizontal, to the right of
/// an observer who faces the wearer, y is up, as ISO 8429 counts its axis. Times a place in the lens it gives
/// the prism there (prism.hpp).
struct PowerMatrix {
    double f11 = 0;
    double f12 = 0;
    double f22 = 0;
};

PowerMatrix to_matrix(const Power& power);

/// The same lens in the other writing: f11 = M + J0, f22 = M - J0, f12 = J45. Nothing is rounded.
PowerMatrix to_matrix(const PowerVector& vector);
PowerVector to_vector(const PowerMatrix& matrix);

/// The power, D, along the meridian at `degrees`: S + C sin^2(degrees - A).
double power_in_meridian(const Power& power, double degrees);

}  // namespace pairmark::optics
