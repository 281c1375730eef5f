// Texts that stay in flash. On the chip a plain literal is copied to RAM at start, and the adapter's words
// would take a third of it. On a PC these are plain literals.
#pragma once

#include <stdint.h>

#ifdef __AVR__
#include <avr/pgmspace.h>
#define PAIRMARK_FLASH PROGMEM
/// A pointer to a literal in flash: only for `flash_char` and what is built on it.
#define PAIRMARK_TEXT(literal) PSTR(literal)
#else
#define PAIRMARK_FLASH
#define PAIRMARK_TEXT(literal) (literal)
#endif

namespace pairmark {
namespace protocol {

/// The character at a place of a text made by PAIRMARK_TEXT. Every `why` of this library is one.
inline char flash_char(const char* at) {
#ifdef __AVR__
    return static_cast<char>(pgm_read_byte(at));
#else
    return *at;
#endif
}

}  // namespace protocol
}  // namespace pairmark
