// The characters that the label's font can draw.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace pairmark::label {

/// One run of code points, both ends included.
struct GlyphRange {
    char32_t first;
    char32_t last;
};

/// Whether the label's font has a picture of this character. Control characters, no-break blanks and
/// combining marks are not on the list: the PDF's text would hold them while the paper shows nothing, or a
/// box.
bool has_glyph(char32_t character);

/// Why `text` cannot be drawn: it is not UTF-8, or the first character that the font lacks (named as U+XXXX).
/// Nullopt if it can. Overlong forms, surrogates and code points above U+10FFFF are not UTF-8.
std::optional<std::string> fault_in_text(std::string_view text);

}  // namespace pairmark::label
