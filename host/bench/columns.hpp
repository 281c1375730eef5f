// Text in columns for a terminal.
#pragma once

#include <cstddef>
#include <string>

namespace pairmark::bench {

/// How many characters UTF-8 text has.
inline std::size_t characters(const std::string& utf8) {
    std::size_t n = 0;
    for (const char c : utf8)
        if ((static_cast<unsigned char>(c) & 0xC0U) != 0x80U) ++n;
    return n;
}

/// With blanks behind it up to `width` characters.
inline std::string padded(std::string text, std::size_t width) {
    const std::size_t now = characters(text);
    if (now < width) text.append(width - now, ' ');
    return text;
}

}  // namespace pairmark::bench
