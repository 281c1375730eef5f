// What a capture said, in JSON, as the instrument's own screen showed it.
#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <set>
#include <span>
#include <string>

#include "protocol/profile.hpp"

namespace pairmark::learn {

class Screen {
  public:
    /// Throws BadProfile if the bytes are not a profile.
    explicit Screen(std::span<const std::uint8_t> compact);

    /// {"readings": [...]}, right before left, empty for a capture that says "no reading"; or {"refused":
    /// why, and at which byte (from 0) of the capture}. Powers in dioptres, prism in prism dioptres, centres
    /// in millimetres (with each lens of the capture); `base` of no prism is null. Nothing is transposed or
    /// rounded; an eighth that the instrument cut stays cut, and one that it sends whole comes out whole.
    nlohmann::ordered_json answer(const protocol::Decoded& said, std::size_t size) const;

  private:
    double power(int hundredths, const char* quantity) const;
    nlohmann::ordered_json lens(const protocol::LensFields& fields) const;

    std::set<std::string> whole_eighths_;  // quantities that are sent with three decimals
};

}  // namespace pairmark::learn
