// Bytes as base64 (RFC 4648, section 4), as captures stand in JSON.
//
// Trust: the text comes from outside. Invariant, for any text whatever:
//   B1  text is taken only if `base64` writes exactly it for the bytes given back: padded, no blanks or line
//       ends, no bits set behind the last byte.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace pairmark::learn {

std::string base64(std::span<const std::uint8_t> bytes);

/// None if it is not base64 to its last character (B1).
std::optional<std::vector<std::uint8_t>> from_base64(std::string_view text);

}  // namespace pairmark::learn
