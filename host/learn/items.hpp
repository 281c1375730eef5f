// The items of a shape, between JSON and bytes. Inside `learn` only.
#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <span>
#include <string>
#include <vector>

#include "host/learn/place.hpp"

namespace pairmark::learn {

using Bytes = std::vector<std::uint8_t>;

/// The bytes of a list of items. Throws BadProfile.
Bytes items_from_json(const Place& list);

/// The JSON of items whose form protocol::Profile has checked.
nlohmann::ordered_json items_to_json(std::span<const std::uint8_t> items);

/// Bytes as a JSON string: one character U+0000 to U+00FF each.
std::string text_of(std::span<const std::uint8_t> bytes);

void put_u16(Bytes& bytes, unsigned value);

}  // namespace pairmark::learn
