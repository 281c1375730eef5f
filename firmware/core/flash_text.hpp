// The adapter's words in flash (protocol/flash_text.hpp), and copies of them for the calls that want RAM.
#pragma once

#include <stdint.h>

#include "protocol/flash_text.hpp"

namespace pairmark {
namespace firmware {

using protocol::flash_char;

inline uint16_t flash_word(const uint16_t* at) {
#ifdef __AVR__
    return pgm_read_word(at);
#else
    return *at;
#endif
}

/// A word of at most 11 characters, copied from flash; sound until the next call but one.
const char* ram_copy(const char* flash);

}  // namespace firmware
}  // namespace pairmark
