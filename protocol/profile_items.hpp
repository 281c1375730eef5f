// The items of a compact profile's shapes, byte by byte; SPEC.md shows the same as tables. For the
// interpreter and for whoever writes profiles; what travels and what the adapter decides is in profile.hpp.
#pragma once

#include <stddef.h>
#include <stdint.h>

namespace pairmark {
namespace protocol {

// Header.
constexpr size_t profile_header_size = 17;
constexpr uint8_t profile_flag_zero_axis_is_180 = 1;
constexpr uint8_t profile_flag_start_byte = 2;
constexpr uint32_t profile_baud_unit = 1200;

// A shape: flags, length of its items (16 bits), items.
constexpr size_t shape_header_size = 3;
constexpr uint8_t shape_flag_no_reading = 1;

enum Item : uint8_t {
    item_text = 1,      // size, bytes: exactly these bytes
    item_word = 2,      // target, count, then each: meaning, size (may be 0), bytes
    item_number = 3,    // target, sign, form, blank, least width, most width
    item_changing = 4,  // class, least length, most length
    item_check_sum =
        5,  // kind, bits, encoding, from, until, polynomial, initial value, final XOR (16 bits each)
    item_either = 6,  // length (16 bits) of the body: the body, or what follows it
    item_else = 7,    // length (16 bits), last in a body of `either`: goes on behind that many bytes
    item_mark = 8     // check sums behind it count from here
};

// Target: quantity in the low four bits, lens (0 or 1) in bit 4.
enum Quantity : uint8_t {
    quantity_sphere = 0,
    quantity_cylinder = 1,
    quantity_axis = 2,
    quantity_addition = 3,
    quantity_horizontal_prism = 4,
    quantity_vertical_prism = 5,
    quantity_centres = 6,
    quantity_eye = 7
};
constexpr uint8_t target_second_lens = 0x10;

// What a word says: of the eye, or of the sign of its quantity (base in and base up are plus).
enum Meaning : uint8_t {
    meaning_none = 0,  // no eye named; no sign, which only a zero may have
    meaning_plus = 1,  // right; plus, in, up
    meaning_minus = 2  // left; minus, out, down
};

enum SignMode : uint8_t {
    sign_none = 0,       // never a sign
    sign_always = 1,     // '+' or '-'
    sign_minus = 2,      // '-', or nothing for plus
    sign_blank = 3,      // '-', or a blank for plus
    sign_but_zero = 4,   // '+' or '-'; a zero may have nothing
    sign_blank_zero = 5  // '+' or '-'; a zero may have a blank
};

// Form: decimals in bits 0 and 1, point in bits 2 and 3, then flags.
constexpr uint8_t form_decimals = 0x03;
constexpr uint8_t form_point = 0x0C;
enum Point : uint8_t { point_implied = 0x00, point_dot = 0x04, point_comma = 0x08 };
constexpr uint8_t form_blanks_before = 0x10;  // before the sign
constexpr uint8_t form_blanks_after = 0x20;   // between sign and digits
constexpr uint8_t form_zeros = 0x40;          // needless zeros in front of the digits
constexpr uint8_t form_blanks_behind = 0x80;

// Blank: what a field of blanks only means; and whether ".50" may stand for 0.50.
constexpr uint8_t blank_is_zero = 0x01;
constexpr uint8_t blank_is_absent = 0x02;
constexpr uint8_t bare_point = 0x04;

enum Class : uint8_t {
    class_digits = 0,
    class_hex_upper = 1,
    class_hex = 2,
    class_digits_or_blanks = 3,
    class_printable = 4,  // 20 to 7E
    class_any = 5
};

enum CheckSumKind : uint8_t {
    check_sum = 0,
    check_xor = 1,
    check_negated_sum = 2,   // two's complement of the sum
    check_crc = 3,           // highest bit first
    check_crc_reflected = 4  // lowest bit first; the polynomial still written the usual way
};

// Encoding: how in the low four bits, lowest byte first in bit 4.
enum Encoding : uint8_t {
    encoding_hex_upper = 0,
    encoding_hex_lower = 1,
    encoding_decimal = 2,  // 3 digits for up to 8 bits, else 5, zeros in front
    encoding_raw = 3,
    encoding_half_bytes = 4  // 30 plus each half byte
};
constexpr uint8_t encoding_low_first = 0x10;

constexpr size_t number_size = 7;
constexpr size_t changing_size = 4;
constexpr size_t check_sum_size = 12;
constexpr size_t branch_size = 3;  // of `either` and `else`, without what they span

inline uint16_t profile_u16(const uint8_t* at) {
    return static_cast<uint16_t>(at[0] | (at[1] << 8));
}

/// Bytes of the item at `item`, of which `left` lie inside its shape; of `either` and `else` the head only. 0
/// if it is not a well-formed item, with a word for what is wrong in `why`.
size_t size_of_item(const uint8_t* item, size_t left, const char*& why);

/// What a number's field said.
enum class FieldFound : uint8_t { wrong, number, zero, absent };

/// Reads one field of `size` bytes by its number item. `value` in the units of LensFields, within its range
/// and the step.
FieldFound read_field(const uint8_t* item, const uint8_t* field, size_t size, uint8_t step, int16_t& value);

/// True if a byte belongs to a class of changing part.
bool is_in_class(uint8_t byte, uint8_t character_class);

/// Bytes that a check sum takes in the capture.
size_t check_sum_width(const uint8_t* item);
/// True if the check sum item's bytes stand at `written` for the bytes from `first` up to `end`.
bool check_sum_holds(const uint8_t* item, const uint8_t* first, const uint8_t* end, const uint8_t* written);

}  // namespace protocol
}  // namespace pairmark
