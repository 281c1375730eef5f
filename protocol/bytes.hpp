// Numbers in stored bytes: little end first.
#pragma once

#include <stdint.h>

namespace pairmark {
namespace protocol {

inline void put16(uint8_t* to, uint16_t value) {
    to[0] = static_cast<uint8_t>(value);
    to[1] = static_cast<uint8_t>(value >> 8);
}

inline void put32(uint8_t* to, uint32_t value) {
    put16(to, static_cast<uint16_t>(value));
    put16(to + 2, static_cast<uint16_t>(value >> 16));
}

inline uint16_t get16(const uint8_t* from) {
    return static_cast<uint16_t>(from[0] | (from[1] << 8));
}

inline uint32_t get32(const uint8_t* from) {
    return get16(from) | (static_cast<uint32_t>(get16(from + 2)) << 16);
}

}  // namespace protocol
}  // namespace pairmark
