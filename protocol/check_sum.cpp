#include "protocol/profile_items.hpp"

namespace pairmark {
namespace protocol {

namespace {

// Bit by bit: no table fits every polynomial that an instrument may use.
uint16_t crc_of(const uint8_t* item, const uint8_t* first, const uint8_t* end) {
    const bool reflected = item[1] == check_crc_reflected;
    const uint8_t bits = item[2];
    const uint16_t mask = bits == 16 ? 0xFFFFu : 0x00FFu;
    uint16_t polynomial = profile_u16(item + 6);
    uint16_t crc = profile_u16(item + 8) & mask;
    if (reflected) {
        uint16_t turned = 0;
        for (uint8_t i = 0; i < bits; ++i)
            if (polynomial & (1u << i)) turned = static_cast<uint16_t>(turned | (1u << (bits - 1 - i)));
        polynomial = turned;
    }
    for (; first != end; ++first) {
        if (reflected) {
            crc = static_cast<uint16_t>(crc ^ *first);
            for (uint8_t i = 0; i < 8; ++i)
                crc = static_cast<uint16_t>((crc & 1u) != 0 ? (crc >> 1) ^ polynomial : crc >> 1);
        } else {
            const uint16_t top = static_cast<uint16_t>(1u << (bits - 1));
            crc = static_cast<uint16_t>(crc ^ (static_cast<uint16_t>(*first) << (bits - 8)));
            for (uint8_t i = 0; i < 8; ++i)
                crc = static_cast<uint16_t>((crc & top) != 0 ? (crc << 1) ^ polynomial : crc << 1);
        }
    }
    return crc & mask;
}

uint16_t value_of(const uint8_t* item, const uint8_t* first, const uint8_t* end) {
    const uint8_t kind = item[1];
    const uint8_t bits = item[2];
    const uint16_t last = profile_u16(item + 10);
    const uint16_t mask = static_cast<uint16_t>(bits == 16 ? 0xFFFFu : (1u << bits) - 1u);
    if (kind >= check_crc) return static_cast<uint16_t>((crc_of(item, first, end) ^ last) & mask);
    uint16_t sum = profile_u16(item + 8);
    for (; first != end; ++first) {
        if (kind == check_xor)
            sum = static_cast<uint16_t>(sum ^ *first);
        else
            sum = static_cast<uint16_t>(sum + *first);
    }
    if (kind == check_negated_sum) sum = static_cast<uint16_t>(0u - sum);
    return static_cast<uint16_t>((sum ^ last) & mask);
}

uint8_t digit_of(uint8_t encoding, uint8_t half) {
    if (encoding == encoding_half_bytes || half < 10) return static_cast<uint8_t>('0' + half);
    return static_cast<uint8_t>((encoding == encoding_hex_lower ? 'a' : 'A') + half - 10);
}

}  // namespace

size_t check_sum_width(const uint8_t* item) {
    const bool wide = item[2] == 16;
    switch (item[3] & 0x0F) {
        case encoding_decimal:
            return wide ? 5 : 3;
        case encoding_raw:
            return wide ? 2 : 1;
        default:
            return wide ? 4 : 2;
    }
}

bool check_sum_holds(const uint8_t* item, const uint8_t* first, const uint8_t* end, const uint8_t* written) {
    uint16_t value = value_of(item, first, end);
    const uint8_t encoding = item[3] & 0x0F;
    if (encoding == encoding_decimal) {
        for (size_t i = check_sum_width(item); i-- > 0; value /= 10)
            if (written[i] != '0' + value % 10) return false;
        return true;
    }
    const bool wide = item[2] == 16;
    if (wide && (item[3] & encoding_low_first) != 0)
        value = static_cast<uint16_t>((value << 8) | (value >> 8));
    for (uint8_t i = wide ? 0 : 1; i < 2; ++i) {
        const uint8_t byte = static_cast<uint8_t>(i == 0 ? value >> 8 : value);
        if (encoding == encoding_raw) {
            if (*written++ != byte) return false;
        } else {
            if (*written++ != digit_of(encoding, byte >> 4)) return false;
            if (*written++ != digit_of(encoding, byte & 15)) return false;
        }
    }
    return true;
}

}  // namespace protocol
}  // namespace pairmark
