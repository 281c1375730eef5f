#include "host/learn/base64.hpp"

namespace pairmark::learn {

namespace {

constexpr std::string_view alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
constexpr unsigned bits_a_letter = 6;

}  // namespace

std::string base64(std::span<const std::uint8_t> bytes) {
    std::string text;
    unsigned held = 0;
    unsigned bits = 0;
    for (const std::uint8_t byte : bytes) {
        held = held << 8U | byte;
        for (bits += 8; bits >= bits_a_letter; bits -= bits_a_letter)
            text += alphabet[held >> (bits - bits_a_letter) & 63U];
    }
    if (bits > 0) text += alphabet[held << (bits_a_letter - bits) & 63U];
    text.resize((text.size() + 3) / 4 * 4, '=');
    return text;
}

std::optional<std::vector<std::uint8_t>> from_base64(std::string_view text) {
    std::vector<std::uint8_t> bytes;
    unsigned held = 0;
    unsigned bits = 0;
    for (const char letter : text.substr(0, text.find('='))) {
        const std::size_t value = alphabet.find(letter);
        if (value == std::string_view::npos) return std::nullopt;
        held = held << bits_a_letter | static_cast<unsigned>(value);
        bits += bits_a_letter;
        if (bits < 8) continue;
        bits -= 8;
        bytes.push_back(static_cast<std::uint8_t>(held >> bits & 255U));
    }
    // Writing it again settles padding, length and spare bits at once.
    if (base64(bytes) != text) return std::nullopt;
    return bytes;
}

}  // namespace pairmark::learn
