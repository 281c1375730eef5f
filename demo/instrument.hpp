// The demo's lens meter: prints a reading in a layout of its own, as an instrument does when its button is
// pressed.
#pragma once

#include <string>

namespace pairmark::demo {

/// One lens as the instrument measures it: dioptres and whole degrees. Plus or minus cylinder, as it is set.
struct Lens {
    double sphere = 0;
    double cylinder = 0;
    int axis = 0;  // 0 to 180
};

/// What the instrument sends: "R= -01.25 & +00.50 @ 085 ~5C" CR LF; the two digits are the XOR of all before
/// the '~'. `eye` is 'R' or 'L': what the instrument's eye key says.
std::string capture(char eye, const Lens& lens);

}  // namespace pairmark::demo
