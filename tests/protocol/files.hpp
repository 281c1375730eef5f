// Reading the golden vectors and writing lines and bytes, for the tests of the protocol.
#pragma once

#include <cstdint>
#include <cstdio>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "protocol/crc32.hpp"
#include "protocol/line.hpp"
#include "tests/trees.hpp"

namespace pairmark::protocol::testing {

using Json = nlohmann::ordered_json;
using Bytes = std::vector<std::uint8_t>;

inline std::string read_file(const std::string& path) {
    std::ifstream file(pairmark::tests::in_source_tree(path), std::ios::binary);
    if (!file) throw std::runtime_error("no file " + path);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

inline Json read_vectors(const std::string& name) {
    return Json::parse(read_file("protocol/vectors/" + name));
}

inline Bytes from_hex(std::string_view hex) {
    Bytes bytes;
    std::string digits;
    for (const char c : hex)
        if (c != ' ') digits += c;
    for (std::size_t i = 0; i + 1 < digits.size(); i += 2)
        bytes.push_back(static_cast<std::uint8_t>(std::stoul(digits.substr(i, 2), nullptr, 16)));
    return bytes;
}

inline std::string to_hex(const Bytes& bytes) {
    std::string hex;
    for (const std::uint8_t byte : bytes) {
        char digits[3];
        std::snprintf(digits, sizeof digits, "%02X", byte);
        hex += digits;
    }
    return hex;
}

inline std::string hex8(std::uint32_t value) {
    char digits[9];
    std::snprintf(digits, sizeof digits, "%08X", static_cast<unsigned>(value));
    return digits;
}

/// The vectors' strings: a character up to U+00FF is one byte.
inline std::string to_bytes(const std::string& utf8) {
    std::string bytes;
    for (std::size_t i = 0; i < utf8.size(); ++i) {
        const auto c = static_cast<std::uint8_t>(utf8[i]);
        if (c < 0x80)
            bytes += utf8[i];
        else
            bytes += static_cast<char>(((c & 3) << 6) | (utf8[++i] & 0x3F));
    }
    return bytes;
}

inline Text text_of(const std::string& s) {
    return {s.data(), s.size()};
}
inline std::string string_of(Text text) {
    return text.size == 0 ? std::string() : std::string(text.data, text.size);
}

/// "@KIND key=value" with its check sum, without CR LF.
inline std::string signed_line(const std::string& body) {
    const std::string before = body + " ";
    return before + "*" + hex8(crc32(before.data(), before.size()));
}

inline std::string word_of(LineFault fault) {
    switch (fault) {
        case LineFault::none:
            return "none";
        case LineFault::not_a_line:
            return "not_a_line";
        case LineFault::malformed:
            return "malformed";
        case LineFault::no_crc:
            return "no_crc";
        case LineFault::wrong_crc:
            return "wrong_crc";
        case LineFault::too_long:
            return "too_long";
    }
    return "?";
}

}  // namespace pairmark::protocol::testing
