// What the embedded font can draw, read out of its own tables, against the list of characters that a label
// may hold.
#include "host/label/font.hpp"

#include <catch2/catch.hpp>
#include <cstdint>
#include <map>
#include <string>

#include "host/label/glyphs.hpp"

namespace {

using pairmark::label::fault_in_text;
using pairmark::label::font_bytes;
using pairmark::label::has_glyph;

std::uint32_t u16(std::size_t at) {
    return font_bytes()[at] * 256u + font_bytes()[at + 1];
}
std::uint32_t u32(std::size_t at) {
    return u16(at) * 65536u + u16(at + 2);
}

std::size_t find_table(const std::string& tag) {
    for (std::size_t i = 0; i < u16(4); ++i) {
        const std::size_t entry = 12 + 16 * i;
        const auto* name = reinterpret_cast<const char*>(&font_bytes()[entry]);
        if (std::string(name, 4) == tag) return u32(entry + 8);
    }
    FAIL("the font has no table " << tag);
    return 0;
}

// Character to glyph, from a format 4 table.
std::map<std::uint32_t, std::uint32_t> read_characters() {
    const std::size_t table = find_table("cmap") + u32(find_table("cmap") + 8);
    REQUIRE(u16(table) == 4);
    const std::size_t twice = u16(table + 6);
    const std::size_t ends = table + 14;
    const std::size_t starts = ends + twice + 2;
    std::map<std::uint32_t, std::uint32_t> glyphs;
    for (std::size_t i = 0; i < twice; i += 2) {
        const std::size_t offset_at = starts + 2 * twice + i;
        for (std::uint32_t c = u16(starts + i); c <= u16(ends + i) && c != 0xFFFF; ++c) {
            const std::uint32_t delta = u16(starts + twice + i);
            std::uint32_t glyph = c;
            if (u16(offset_at) != 0) glyph = u16(offset_at + u16(offset_at) + 2 * (c - u16(starts + i)));
            glyphs[c] = (glyph + delta) & 0xFFFF;
        }
    }
    return glyphs;
}

bool has_outline(std::uint32_t glyph) {
    const std::size_t loca = find_table("loca");
    const bool is_long = u16(find_table("head") + 50) != 0;
    const auto offset = [&](std::uint32_t i) { return is_long ? u32(loca + 4 * i) : 2 * u16(loca + 2 * i); };
    return offset(glyph + 1) > offset(glyph);
}

}  // namespace

TEST_CASE(
    "every character that a label may hold has a picture in the font, and no other character is allowed") {
    const auto glyphs = read_characters();
    int allowed = 0;
    for (std::uint32_t c = 0; c < 0x30000; ++c) {
        const auto found = glyphs.find(c);
        const bool drawable =
            found != glyphs.end() && found->second != 0 && (c == ' ' || has_outline(found->second));
        CAPTURE(c);
        if (has_glyph(c)) {
            ++allowed;
            REQUIRE(drawable);
        } else {
            REQUIRE_FALSE(drawable);
        }
    }
    CHECK(allowed > 400);
}

TEST_CASE("text that the font cannot draw is named by its first such character") {
    const struct {
        const char* text;
        const char* names;  // null: fine
    } rows[] = {
        {"", nullptr},
        {"Box 12, R−1 × ñ Ж Ω", nullptr},
        {"眼鏡", "U+773C"},
        {"a\tb", "U+0009"},
        {"a\nb", "U+000A"},
        {"a\xC2\xA0"
         "b",
         "U+00A0"},
        {"e\xCC\x81", "U+0301"},
        {"\xF0\x9F\x91\x93", "U+1F453"},
        {"\x7F", "U+007F"},
        {"\xC0\x80", "UTF-8"},
        {"\xE0\x80\xA0", "UTF-8"},
        {"\xED\xA0\x80", "UTF-8"},
        {"\xF4\x90\x80\x80", "UTF-8"},
        {"\xF8\x88\x80\x80\x80", "UTF-8"},
        {"abc\xE2\x88", "UTF-8"},
        {"\x88", "UTF-8"},
        {"\xE2(\xA1", "UTF-8"},
    };
    for (const auto& row : rows) {
        CAPTURE(row.text);
        const auto fault = fault_in_text(row.text);
        REQUIRE(fault.has_value() == (row.names != nullptr));
        if (row.names != nullptr) CHECK_THAT(*fault, Catch::Contains(row.names));
    }
    CHECK(fault_in_text(std::string("a\0b", 3)).has_value());
}
