// CRC-32/ISO-HDLC, the CRC of zlib: width 32, polynomial 04C11DB7, reflected, initial value and final XOR
// FFFFFFFF.
#pragma once

#include <stddef.h>
#include <stdint.h>

namespace pairmark {
namespace protocol {

/// The CRC-32 of `size` bytes. To go on over pieces, pass the CRC of the pieces before as `before` (0 at the
/// start). Check value over "123456789": CBF43926 (source: catalogue of CRC algorithms, CRC-32/ISO-HDLC).
uint32_t crc32(const void* data, size_t size, uint32_t before = 0);

}  // namespace protocol
}  // namespace pairmark
