#include "host/label/glyphs.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstdio>

namespace pairmark::label {
namespace {

// The same list cuts the font (font/make).
constexpr std::array<GlyphRange, 17> ranges{{
    {0x0020, 0x007E},  // ASCII
    {0x00A1, 0x00AC},  // Latin-1, without the no-break blank
    {0x00AE, 0x017F},  // ... without the soft hyphen; Latin Extended-A
    {0x0386, 0x0386},  // Greek with tonos
    {0x0388, 0x038A},
    {0x038C, 0x038C},
    {0x038E, 0x03A1},
    {0x03A3, 0x03CE},
    {0x0400, 0x045F},  // Cyrillic
    {0x0490, 0x0491},  // Ukrainian ge
    {0x2013, 0x2014},  // dashes
    {0x2018, 0x201A},  // quotation marks
    {0x201C, 0x201E},
    {0x20AC, 0x20AC},  // euro
    {0x2116, 0x2116},  // numero
    {0x2212, 0x2212},  // minus
    {0x25A1, 0x25A1},  // box, between the numbers of a frame (ISO 8624)
}};

constexpr char32_t not_utf8 = 0xFFFFFFFF;

// Takes one character off the front.
char32_t take(std::string_view& text) {
    const auto lead = static_cast<unsigned char>(text.front());
    std::size_t length = 1;
    char32_t character = lead;
    char32_t least = 0;
    if (lead >= 0x80) {
        if ((lead & 0xE0) == 0xC0) {
            length = 2, character = lead & 0x1F, least = 0x80;
        } else if ((lead & 0xF0) == 0xE0) {
            length = 3, character = lead & 0x0F, least = 0x800;
        } else if ((lead & 0xF8) == 0xF0) {
            length = 4, character = lead & 0x07, least = 0x10000;
        } else {
            return not_utf8;
        }
    }
    if (text.size() < length) return not_utf8;
    for (std::size_t i = 1; i < length; ++i) {
        const auto byte = static_cast<unsigned char>(text[i]);
        if ((byte & 0xC0) != 0x80) return not_utf8;
        character = character << 6 | (byte & 0x3F);
    }
    if (character < least || character > 0x10FFFF || (character >= 0xD800 && character <= 0xDFFF))
        return not_utf8;
    text.remove_prefix(length);
    return character;
}

}  // namespace

bool has_glyph(char32_t character) {
    return std::any_of(ranges.begin(), ranges.end(), [character](const GlyphRange& range) {
        return range.first <= character && character <= range.last;
    });
}

std::optional<std::string> fault_in_text(std::string_view text) {
    while (!text.empty()) {
        const char32_t character = take(text);
        if (character == not_utf8) return "it is not UTF-8 text";
        if (!has_glyph(character)) {
            std::array<char, 16> name{};
            (void)std::snprintf(name.data(), name.size(), "U+%04X", static_cast<unsigned>(character));
            return std::string("the label's font has no character ") + name.data();
        }
    }
    return std::nullopt;
}

}  // namespace pairmark::label
