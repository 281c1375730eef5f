#include "protocol/crc32.hpp"

#ifdef __AVR__
#include <avr/pgmspace.h>
#define PAIRMARK_FLASH PROGMEM
#define PAIRMARK_READ(address) pgm_read_dword(address)
#else
#define PAIRMARK_FLASH
#define PAIRMARK_READ(address) (*(address))
#endif

namespace pairmark {
namespace protocol {

namespace {

// The remainders of the 16 values of a half byte: a full table would cost 1 KiB of the adapter's flash.
const uint32_t half_byte[16] PAIRMARK_FLASH = {
    0x00000000u, 0x1DB71064u, 0x3B6E20C8u, 0x26D930ACu, 0x76DC4190u, 0x6B6B51F4u, 0x4DB26158u, 0x5005713Cu,
    0xEDB88320u, 0xF00F9344u, 0xD6D6A3E8u, 0xCB61B38Cu, 0x9B64C2B0u, 0x86D3D2D4u, 0xA00AE278u, 0xBDBDF21Cu};

}  // namespace

uint32_t crc32(const void* data, size_t size, uint32_t before) {
    const uint8_t* byte = static_cast<const uint8_t*>(data);
    uint32_t crc = ~before;
    for (size_t i = 0; i < size; ++i) {
        crc ^= byte[i];
        crc = PAIRMARK_READ(&half_byte[crc & 15u]) ^ (crc >> 4);
        crc = PAIRMARK_READ(&half_byte[crc & 15u]) ^ (crc >> 4);
    }
    return ~crc;
}

}  // namespace protocol
}  // namespace pairmark
