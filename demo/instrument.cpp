#include "demo/instrument.hpp"

#include <cmath>
#include <cstdio>

namespace pairmark::demo {
namespace {

std::string signed_power(double power) {
    char text[16];
    (void)std::snprintf(text, sizeof text, "%+06.2f", power);
    // The instrument shows no negative zero.
    if (std::string(text) == "-00.00") return "+00.00";
    return text;
}

}  // namespace

std::string capture(char eye, const Lens& lens) {
    char axis[8];
    (void)std::snprintf(axis, sizeof axis, "%03u", static_cast<unsigned>(lens.axis) % 1000U);
    std::string line = std::string(1, eye) + "= " + signed_power(lens.sphere) + " & " +
                       signed_power(lens.cylinder) + " @ " + axis + " ";
    unsigned sum = 0;
    for (const char c : line)
        sum ^= static_cast<unsigned char>(c);
    char tail[8];
    (void)std::snprintf(tail, sizeof tail, "~%02X\r\n", sum);
    return line + tail;
}

}  // namespace pairmark::demo
