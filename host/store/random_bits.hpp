// Where a store's names come from.
#pragma once

#include <cstdint>
#include <functional>

namespace pairmark::store {

/// Draws 64 bits. Throws std::runtime_error if there are none.
using RandomBits = std::function<std::uint64_t()>;

/// 64 bits that nobody else draws, from the system's own source. Throws std::runtime_error if it gives none.
std::uint64_t random_bits_of_the_system();

}  // namespace pairmark::store
