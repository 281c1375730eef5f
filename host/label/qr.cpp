#include "host/label/qr.hpp"

#include <qrencode.h>

#include <algorithm>
#include <memory>
#include <stdexcept>
#include <string_view>

namespace pairmark::label {

namespace {

constexpr std::string_view alphanumeric = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";
constexpr unsigned utf8 = 26;  // the ECI assignment; without it readers guess an encoding, and guess wrong

void append(QRinput* input, QRencodeMode mode, std::string_view text) {
    if (text.empty()) return;
    const auto* bytes = reinterpret_cast<const unsigned char*>(text.data());
    if (QRinput_append(input, mode, static_cast<int>(text.size()), bytes) != 0)
        throw std::runtime_error("label: the text makes no QR code");
}

}  // namespace

QrCode qr_code(const std::string& text) {
    const std::unique_ptr<QRinput, void (*)(QRinput*)> input(QRinput_new2(0, QR_ECLEVEL_M), QRinput_free);
    if (!input) throw std::runtime_error("label: no memory for a QR code");
    // Two segments: up to the first character that needs a whole byte 5.5 bits a character, from there 8.
    const std::string_view whole = text;
    const std::size_t compact = std::min(whole.find_first_not_of(alphanumeric), whole.size());
    append(input.get(), QR_MODE_AN, whole.substr(0, compact));
    const bool is_ascii =
        std::all_of(text.begin(), text.end(), [](char c) { return static_cast<signed char>(c) >= 0; });
    if (!is_ascii && QRinput_appendECIheader(input.get(), utf8) != 0)
        throw std::runtime_error("label: the text makes no QR code");
    append(input.get(), QR_MODE_8, whole.substr(compact));
    const std::unique_ptr<QRcode, void (*)(QRcode*)> code(QRcode_encodeInput(input.get()), QRcode_free);
    if (!code) throw std::runtime_error("label: the text makes no QR code");
    QrCode result;
    result.side = code->width;
    const auto is_dark = [&code](int x, int y) { return (code->data[y * code->width + x] & 1) != 0; };
    for (int y = 0; y < result.side; ++y)
        for (int x = 0; x < result.side; ++x) {
            const int start = x;
            while (x < result.side && is_dark(x, y))
                ++x;
            if (x > start) result.dark.push_back({start, y, x - start});
        }
    return result;
}

}  // namespace pairmark::label
