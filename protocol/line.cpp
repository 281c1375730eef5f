#include "protocol/line.hpp"

#include <string.h>

#include "protocol/crc32.hpp"

namespace pairmark {
namespace protocol {

namespace {

constexpr size_t crc_part = 10;  // " *" and eight digits

char hex_digit(uint8_t value) {
    return static_cast<char>(value < 10 ? '0' + value : 'A' + value - 10);
}

int hex_value(char c) {
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    return -1;
}

bool is_printable(char c) {
    return c >= 0x20 && c <= 0x7E && c != '!';
}

bool is_value_character(char c) {
    return is_printable(c) && c != ' ' && c != '*' && c != '=' && c != '@';
}

bool read_count(const char* digits, size_t size, uint32_t& value) {
    if (size == 0 || size > 10 || (size > 1 && digits[0] == '0')) return false;
    uint32_t sum = 0;
    for (size_t i = 0; i < size; ++i) {
        if (digits[i] < '0' || digits[i] > '9') return false;
        const uint8_t digit = static_cast<uint8_t>(digits[i] - '0');
        if (sum > 429496729u || (sum == 429496729u && digit > 5)) return false;
        sum = sum * 10 + digit;
    }
    value = sum;
    return true;
}

// The CRC digits are upper case only: else a flipped bit could turn 'A' into an equally good 'a'.
bool read_crc(const char* digits, uint32_t& crc) {
    crc = 0;
    for (size_t i = 0; i < 8; ++i) {
        if (digits[i] >= 'a') return false;
        const int digit = hex_value(digits[i]);
        if (digit < 0) return false;
        crc = (crc << 4) | static_cast<uint32_t>(digit);
    }
    return true;
}

// "KIND" and then " key=value" again and again, ended by `size`.
bool is_well_formed(const char* text, size_t size, size_t& kind_size) {
    size_t at = 0;
    while (at < size && text[at] >= 'A' && text[at] <= 'Z')
        ++at;
    kind_size = at;
    if (at == 0) return false;
    while (at < size) {
        if (text[at++] != ' ') return false;
        const size_t key = at;
        while (at < size && ((text[at] >= 'a' && text[at] <= 'z') || (text[at] >= '0' && text[at] <= '9')))
            ++at;
        if (at == key || at == size || text[at++] != '=') return false;
        while (at < size && is_value_character(text[at]))
            ++at;
    }
    return true;
}

}  // namespace

bool operator==(Text a, const char* b) {
    return strlen(b) == a.size && (a.size == 0 || memcmp(a.data, b, a.size) == 0);
}

LineFault parse_line(Text bytes, Line& line) {
    if (bytes.size == 0 || bytes.data[0] != '@') return LineFault::not_a_line;
    if (bytes.size > max_line - 2) return LineFault::too_long;
    for (size_t i = 0; i < bytes.size; ++i)
        if (!is_printable(bytes.data[i])) return LineFault::not_a_line;
    if (bytes.size < crc_part + 1) return LineFault::no_crc;
    const char* tail = bytes.data + bytes.size - crc_part;
    uint32_t crc = 0;
    if (tail[0] != ' ' || tail[1] != '*' || !read_crc(tail + 2, crc)) return LineFault::no_crc;
    if (crc32(bytes.data, bytes.size - crc_part + 1) != crc) return LineFault::wrong_crc;
    const char* text = bytes.data + 1;
    const size_t size = bytes.size - crc_part - 1;
    size_t kind_size = 0;
    if (!is_well_formed(text, size, kind_size)) return LineFault::malformed;
    line.kind_ = {text, kind_size};
    line.fields_ = {text + kind_size, size - kind_size};
    return LineFault::none;
}

const char* name_of(LineFault fault) {
    switch (fault) {
        case LineFault::none:
            return "no fault";
        case LineFault::not_a_line:
            return "not a line";
        case LineFault::malformed:
            return "malformed line";
        case LineFault::no_crc:
            return "no check sum";
        case LineFault::wrong_crc:
            return "wrong check sum";
        case LineFault::too_long:
            return "line too long";
    }
    return "unknown fault";
}

bool Line::get(const char* key, Text& value) const {
    const size_t key_size = strlen(key);
    size_t at = 0;
    while (at < fields_.size) {
        const char* field = fields_.data + at + 1;  // behind the blank
        size_t size = 0;
        while (at + 1 + size < fields_.size && field[size] != ' ')
            ++size;
        if (size > key_size && field[key_size] == '=' && memcmp(field, key, key_size) == 0) {
            value = {field + key_size + 1, size - key_size - 1};
            return true;
        }
        at += 1 + size;
    }
    return false;
}

bool Line::get_number(const char* key, int32_t& value) const {
    Text text{nullptr, 0};
    if (!get(key, text) || text.size == 0) return false;
    const bool minus = text.data[0] == '-';
    uint32_t size = 0;
    if (!read_count(text.data + minus, text.size - minus, size)) return false;
    if (size > 2147483647u || (minus && size == 0)) return false;
    value = minus ? -static_cast<int32_t>(size) : static_cast<int32_t>(size);
    return true;
}

bool Line::get_count(const char* key, uint32_t& value) const {
    Text text{nullptr, 0};
    return get(key, text) && read_count(text.data, text.size, value);
}

bool Line::get_hex(const char* key, uint32_t& value) const {
    uint8_t bytes[4];
    if (!get_hex(key, bytes, 4)) return false;
    value = 0;
    for (uint8_t byte : bytes)
        value = (value << 8) | byte;
    return true;
}

bool Line::get_hex(const char* key, uint8_t* bytes, size_t size) const {
    Text text{nullptr, 0};
    size_t got = 0;
    return get(key, text) && text.size == 2 * size && get_hex(key, bytes, size, got);
}

bool Line::get_hex(const char* key, uint8_t* bytes, size_t capacity, size_t& size) const {
    Text text{nullptr, 0};
    if (!get(key, text) || text.size % 2 != 0 || text.size / 2 > capacity) return false;
    for (size_t i = 0; i < text.size; ++i)
        if (hex_value(text.data[i]) < 0) return false;
    size = text.size / 2;
    for (size_t i = 0; i < size; ++i)
        bytes[i] = static_cast<uint8_t>(hex_value(text.data[2 * i]) * 16 + hex_value(text.data[2 * i + 1]));
    return true;
}

LineWriter::LineWriter(const char* kind) {
    put('@');
    if (*kind == 0) overflow_ = true;
    for (const char* c = kind; *c != 0; ++c)
        if (*c < 'A' || *c > 'Z') overflow_ = true;
    put(kind);
}

void LineWriter::put(char c) {
    // Room for " *", the CRC and CR LF is kept free: what fits here can be finished.
    if (size_ + crc_part + 2 >= max_line) overflow_ = true;
    if (!overflow_) buffer_[size_++] = c;
}

void LineWriter::put(const char* s) {
    while (*s != 0)
        put(*s++);
}

LineWriter& LineWriter::add(const char* key, Text value) {
    put(' ');
    if (*key == 0) overflow_ = true;
    for (const char* c = key; *c != 0; ++c)
        if (!((*c >= 'a' && *c <= 'z') || (*c >= '0' && *c <= '9'))) overflow_ = true;
    put(key);
    put('=');
    for (size_t i = 0; i < value.size; ++i) {
        if (!is_value_character(value.data[i])) overflow_ = true;
        put(value.data[i]);
    }
    return *this;
}

LineWriter& LineWriter::add(const char* key, const char* value) {
    return add(key, Text{value, strlen(value)});
}

LineWriter& LineWriter::add_number(const char* key, int32_t value) {
    return value < 0 ? add_decimal(key, true, 0u - static_cast<uint32_t>(value))
                     : add_decimal(key, false, static_cast<uint32_t>(value));
}

LineWriter& LineWriter::add_count(const char* key, uint32_t value) {
    return add_decimal(key, false, value);
}

LineWriter& LineWriter::add_decimal(const char* key, bool minus, uint32_t size) {
    char digits[11];
    size_t at = sizeof digits;
    do {
        digits[--at] = static_cast<char>('0' + size % 10);
        size /= 10;
    } while (size != 0);
    if (minus) digits[--at] = '-';
    return add(key, Text{digits + at, sizeof digits - at});
}

LineWriter& LineWriter::add_hex(const char* key, uint32_t value) {
    const uint8_t bytes[4] = {static_cast<uint8_t>(value >> 24), static_cast<uint8_t>(value >> 16),
                              static_cast<uint8_t>(value >> 8), static_cast<uint8_t>(value)};
    return add_hex(key, bytes, 4);
}

LineWriter& LineWriter::add_hex(const char* key, const uint8_t* bytes, size_t size) {
    add(key, Text{nullptr, 0});
    for (size_t i = 0; i < size; ++i) {
        put(hex_digit(bytes[i] >> 4));
        put(hex_digit(bytes[i] & 15));
    }
    return *this;
}

Text LineWriter::finish() {
    if (overflow_) return {buffer_, 0};
    size_t end = size_;
    buffer_[end++] = ' ';
    const uint32_t crc = crc32(buffer_, end);
    buffer_[end++] = '*';
    for (int shift = 28; shift >= 0; shift -= 4)
        buffer_[end++] = hex_digit((crc >> shift) & 15);
    buffer_[end++] = '\r';
    buffer_[end++] = '\n';
    return {buffer_, end};
}

}  // namespace protocol
}  // namespace pairmark
