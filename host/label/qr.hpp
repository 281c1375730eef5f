// A text as a QR code's modules.
#pragma once

#include <string>
#include <vector>

#include "host/label/document.hpp"

namespace pairmark::label {

inline constexpr int quiet_modules = 4;  // left white on every side, by ISO/IEC 18004

struct QrCode {
    int side = 0;  // modules, without the quiet zone
    std::vector<ModuleRun> dark;
};

/// The smallest QR code for the text at error correction level M. Throws std::runtime_error if there is none.
QrCode qr_code(const std::string& text);

}  // namespace pairmark::label
