#include "protocol/crc32.hpp"

namespace pairmark {
namespace protocol {

namespace {

/// What eight more bits make of the remainder, of which the lowest eight are those bits.
#ifdef __AVR__
// On a chip that shifts one place at a time, tables save no time and cost flash.
uint32_t after_byte(uint32_t crc) {
    for (uint8_t bit = 8; bit != 0; --bit) {
        const bool low = (crc & 1U) != 0;
        crc >>= 1;
        if (low) crc ^= 0xEDB88320u;
    }
    return crc;
}
#else
constexpr uint32_t half_byte[16] = {
    0x00000000u, 0x1DB71064u, 0x3B6E20C8u, 0x26D930ACu, 0x76DC4190u, 0x6B6B51F4u, 0x4DB26158u, 0x5005713Cu,
    0xEDB88320u, 0xF00F9344u, 0xD6D6A3E8u, 0xCB61B38Cu, 0x9B64C2B0u, 0x86D3D2D4u, 0xA00AE278u, 0xBDBDF21Cu};

uint32_t after_byte(uint32_t crc) {
    crc = half_byte[crc & 15u] ^ (crc >> 4);
    return half_byte[crc & 15u] ^ (crc >> 4);
}
#endif

}  // namespace

uint32_t crc32(const void* data, size_t size, uint32_t before) {
    const uint8_t* byte = static_cast<const uint8_t*>(data);
    uint32_t crc = ~before;
    for (size_t i = 0; i < size; ++i)
        crc = after_byte(crc ^ byte[i]);
    return ~crc;
}

}  // namespace protocol
}  // namespace pairmark
