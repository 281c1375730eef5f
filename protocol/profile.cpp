#include "protocol/profile.hpp"

#include "protocol/crc32.hpp"
#include "protocol/flash_text.hpp"
#include "protocol/profile_items.hpp"

namespace pairmark {
namespace protocol {

namespace {

constexpr size_t max_nesting = 8;

bool check_header(const uint8_t* b, const char*& why, size_t& at) {
    const uint8_t parity = (b[3] >> 1) & 3;
    at = 0;
    why = PAIRMARK_TEXT("version");
    if (b[0] != profile_version) return false;
    at = 1;
    why = PAIRMARK_TEXT("flags");
    if ((b[1] & ~(profile_flag_zero_axis_is_180 | profile_flag_start_byte)) != 0) return false;
    at = 2;
    why = PAIRMARK_TEXT("baud rate");
    if (b[2] < 1 || b[2] > 96) return false;
    at = 3;
    why = PAIRMARK_TEXT("serial settings");
    if ((b[3] & 0xF0) != 0 || parity == 3) return false;
    at = 4;
    why = PAIRMARK_TEXT("step");
    if (b[4] < 1 || b[4] > 3) return false;
    at = 5;
    why = PAIRMARK_TEXT("framing");
    if (b[5] < 1 || b[5] > 3) return false;
    at = 6;
    const uint16_t idle = profile_u16(b + 6);
    if (idle < 2 || idle > 10000) return false;
    at = 8;
    const bool by_length = b[5] == static_cast<uint8_t>(FrameBy::length);
    const uint16_t length = profile_u16(b + 8);
    if (by_length ? length < 1 || length > max_capture : length != 0) return false;
    at = 10;
    const bool by_terminator = b[5] == static_cast<uint8_t>(FrameBy::terminator);
    if (by_terminator ? b[10] < 1 || b[10] > 4 : b[10] != 0) return false;
    for (at = 11 + b[10]; at < 15; ++at)
        if (b[at] != 0) return false;
    if ((b[1] & profile_flag_start_byte) == 0 && b[15] != 0) return false;
    at = 16;
    why = PAIRMARK_TEXT("number of shapes");
    return b[16] >= 1 && b[16] <= max_shapes;
}

/// Checks one shape's items in one pass: each in itself, and that every `either` and `else` spans whole
/// items.
class ShapeCheck {
  public:
    ShapeCheck(const uint8_t* items, size_t size, bool no_reading)
        : items_(items), size_(size), no_reading_(no_reading) {}

    bool run(const char*& why, size_t& at) {
        bool sphere = false;
        for (at = 0; at < size_;) {
            while (depth_ > 0 && ends_[depth_ - 1] == at)
                --depth_;
            const size_t end = depth_ > 0 ? ends_[depth_ - 1] : size_;
            const uint8_t* item = items_ + at;
            const size_t size = size_of_item(item, end - at, why);
            if (size == 0) return false;
            why = PAIRMARK_TEXT("item not allowed in a shape without a reading");
            if (no_reading_ && (*item == item_word || *item == item_number)) return false;
            if (*item == item_number && (item[1] & 0x0F) == quantity_sphere) sphere = true;
            why = PAIRMARK_TEXT("too many parts");
            if (*item != item_text && *item != item_else && ++parts_ > max_parts) return false;
            why = PAIRMARK_TEXT("branch");
            if (*item == item_either && !enter(at + size, profile_u16(item + 1), end)) return false;
            if (*item == item_else && !leave(at + size, profile_u16(item + 1))) return false;
            at += size;
        }
        why = PAIRMARK_TEXT("shape without a sphere");
        return sphere || no_reading_;
    }

  private:
    bool enter(size_t from, size_t length, size_t end) {
        if (length == 0 || length > end - from || depth_ == max_nesting) return false;
        ends_[depth_] = static_cast<uint16_t>(from + length);
        is_either_[depth_++] = true;
        return true;
    }

    // `else` closes the body that it stands in and opens the other one.
    bool leave(size_t from, size_t length) {
        if (depth_ == 0 || !is_either_[depth_ - 1] || ends_[depth_ - 1] != from) return false;
        const size_t end = depth_ > 1 ? ends_[depth_ - 2] : size_;
        if (length == 0 || length > end - from) return false;
        ends_[depth_ - 1] = static_cast<uint16_t>(from + length);
        is_either_[depth_ - 1] = false;
        return true;
    }

    const uint8_t* items_;
    size_t size_;
    bool no_reading_;
    size_t parts_ = 0;
    size_t depth_ = 0;
    uint16_t ends_[max_nesting];
    bool is_either_[max_nesting];
};

size_t size_of_word(const uint8_t* item, size_t left) {
    if (left < 3 || item[2] == 0) return 0;
    const uint8_t quantity = item[1] & 0x0F;
    const bool signed_quantity = quantity <= quantity_vertical_prism && quantity != quantity_axis;
    if ((item[1] & 0xE0) != 0 || (!signed_quantity && quantity != quantity_eye)) return 0;
    size_t at = 3;
    for (uint8_t i = 0; i < item[2]; ++i) {
        if (left - at < 2 || item[at] > meaning_minus || left - at - 2 < item[at + 1]) return 0;
        at += 2u + item[at + 1];
    }
    return at;
}

bool is_number(const uint8_t* item) {
    const uint8_t quantity = item[1] & 0x0F;
    const uint8_t decimals = item[3] & form_decimals;
    const uint8_t point = item[3] & form_point;
    if ((item[1] & 0xE0) != 0 || quantity > quantity_centres || item[2] > sign_blank_zero) return false;
    if (quantity == quantity_centres && item[1] != quantity_centres) return false;
    if (point == form_point || (decimals == 0 && point != point_implied)) return false;
    if ((item[4] & 0xF8) != 0 || (item[4] & 3) == 3) return false;
    return item[5] >= 1 && item[5] <= item[6] && item[6] <= 32;
}

bool is_check_sum(const uint8_t* item) {
    const uint8_t kind = item[1];
    const uint8_t bits = item[2];
    const uint8_t encoding = item[3];
    const bool crc = kind == check_crc || kind == check_crc_reflected;
    if (kind > check_crc_reflected || (bits != 8 && bits != 16 && (bits != 7 || crc))) return false;
    if ((encoding & 0x0F) > encoding_half_bytes || (encoding & 0xE0) != 0) return false;
    if ((encoding & encoding_low_first) != 0 && (bits != 16 || (encoding & 0x0F) == encoding_decimal))
        return false;
    return crc ? profile_u16(item + 6) != 0 : profile_u16(item + 6) == 0;
}

}  // namespace

size_t size_of_item(const uint8_t* item, size_t left, const char*& why) {
    why = PAIRMARK_TEXT("item");
    if (left == 0) return 0;
    switch (*item) {
        case item_text:
            why = PAIRMARK_TEXT("text");
            return left >= 2 && item[1] != 0 && left - 2 >= item[1] ? 2u + item[1] : 0;
        case item_word:
            why = PAIRMARK_TEXT("word");
            return size_of_word(item, left);
        case item_number:
            why = PAIRMARK_TEXT("number");
            return left >= number_size && is_number(item) ? number_size : 0;
        case item_changing:
            why = PAIRMARK_TEXT("changing part");
            return left >= changing_size && item[1] <= class_any && item[3] >= 1 && item[2] <= item[3]
                       ? changing_size
                       : 0;
        case item_check_sum:
            why = PAIRMARK_TEXT("check sum");
            return left >= check_sum_size && is_check_sum(item) ? check_sum_size : 0;
        case item_either:
        case item_else:
            why = PAIRMARK_TEXT("branch");
            return left >= branch_size ? branch_size : 0;
        case item_mark:
            return 1;
        default:
            return 0;
    }
}

bool Profile::open(const uint8_t* bytes, size_t size, const char*& why, size_t& at) {
    *this = Profile();
    at = size;
    why = PAIRMARK_TEXT("length");
    if (size < profile_header_size || size > max_profile) return false;
    if (!check_header(bytes, why, at)) return false;
    at = profile_header_size;
    for (uint8_t i = 0; i < bytes[16]; ++i) {
        why = PAIRMARK_TEXT("shape");
        if (size - at < shape_header_size) return false;
        const uint8_t flags = bytes[at];
        const size_t length = profile_u16(bytes + at + 1);
        if ((flags & ~shape_flag_no_reading) != 0 || length == 0 || length > size - at - shape_header_size)
            return false;
        at += shape_header_size;
        size_t inside = 0;
        ShapeCheck check(bytes + at, length, (flags & shape_flag_no_reading) != 0);
        const bool good = check.run(why, inside);
        if (!good) {
            at += inside;
            return false;
        }
        at += length;
    }
    why = PAIRMARK_TEXT("bytes behind the last shape");
    if (at != size) return false;

    static const char parities[] = {'N', 'E', 'O'};
    serial_.baud = bytes[2] * profile_baud_unit;
    serial_.data_bits = (bytes[3] & 1) != 0 ? 7 : 8;
    serial_.parity = parities[(bytes[3] >> 1) & 3];
    serial_.stop_bits = (bytes[3] & 8) != 0 ? 2 : 1;
    step_ = static_cast<StepCode>(bytes[4]);
    framing_.by = static_cast<FrameBy>(bytes[5]);
    framing_.idle_ms = profile_u16(bytes + 6);
    framing_.length = profile_u16(bytes + 8);
    framing_.terminator_size = bytes[10];
    for (uint8_t i = 0; i < 4; ++i)
        framing_.terminator[i] = bytes[11 + i];
    framing_.has_start = (bytes[1] & profile_flag_start_byte) != 0;
    framing_.start = bytes[15];
    zero_axis_is_180_ = (bytes[1] & profile_flag_zero_axis_is_180) != 0;
    bytes_ = bytes;
    size_ = size;
    shapes_at_ = profile_header_size;
    crc_ = crc32(bytes, size);
    why = PAIRMARK_TEXT("");
    return true;
}

}  // namespace protocol
}  // namespace pairmark
