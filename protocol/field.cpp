// Reading one number's field. Strict: a field has exactly the form that its item says, or it is not a number.
#include "protocol/event_record.hpp"
#include "protocol/profile_items.hpp"

namespace pairmark {
namespace protocol {

namespace {

constexpr uint8_t max_digits = 7;

bool is_digit(uint8_t byte) {
    return byte >= '0' && byte <= '9';
}

// Decimals of LensFields' unit: hundredths of a dioptre, tenths of a millimetre, whole degrees.
uint8_t unit_decimals(uint8_t quantity) {
    if (quantity == quantity_axis) return 0;
    return quantity == quantity_centres ? 1 : 2;
}

bool is_power(uint8_t quantity) {
    return quantity == quantity_sphere || quantity == quantity_cylinder || quantity == quantity_addition;
}

// The instrument's step, with eighths cut after the second decimal as LensFields holds them.
bool is_on_step(int32_t hundredths, uint8_t step) {
    const uint8_t part = static_cast<uint8_t>(hundredths % 100);
    if (step == static_cast<uint8_t>(StepCode::hundredth) || part % 25 == 0) return true;
    if (step != static_cast<uint8_t>(StepCode::eighth)) return false;
    return part == 12 || part == 37 || part == 62 || part == 87;
}

// `digits` counts 10^-decimals; gives the same in LensFields' unit. False where that would drop something.
bool to_unit(int32_t digits, uint8_t decimals, uint8_t quantity, uint8_t step, int32_t& value) {
    uint8_t have = decimals;
    const uint8_t want = unit_decimals(quantity);
    for (; have < want; ++have)
        digits *= 10;
    if (have == 3 && is_power(quantity) && step == static_cast<uint8_t>(StepCode::eighth)) {
        if (digits % 125 != 0) return false;
        digits /= 10;  // 1.125 becomes the cut 1.12, as every eighth does
        have = 2;
    }
    for (; have > want; --have) {
        if (digits % 10 != 0) return false;
        digits /= 10;
    }
    value = digits;
    return !is_power(quantity) || is_on_step(value, step);
}

bool is_in_range(int32_t value, uint8_t quantity) {
    switch (quantity) {
        case quantity_sphere:
            return value >= -max_sphere && value <= max_sphere;
        case quantity_cylinder:
            return value >= -max_cylinder && value <= max_cylinder;
        case quantity_axis:
            return value >= 0 && value <= 180;
        case quantity_addition:
            return value >= 0 && value <= max_addition;
        case quantity_centres:
            return value >= min_centres && value <= max_centres;
        default:
            return value >= -max_prism && value <= max_prism;
    }
}

struct Digits {
    int32_t value = 0;
    uint8_t count = 0;
};

// Digits from `at` on; leaves `at` behind them. More than max_digits make the count too large to be accepted.
Digits read_digits(const uint8_t* field, size_t size, size_t& at, Digits so_far) {
    while (at < size && is_digit(field[at]) && so_far.count <= max_digits) {
        so_far.value = so_far.value * 10 + (field[at++] - '0');
        ++so_far.count;
    }
    return so_far;
}

enum class Sign : uint8_t { nothing, blank, plus, minus };

bool is_sign_allowed(Sign sign, uint8_t mode, bool zero) {
    switch (mode) {
        case sign_none:
            return sign == Sign::nothing || sign == Sign::blank;
        case sign_always:
            return sign == Sign::plus || sign == Sign::minus;
        case sign_minus:
            return sign != Sign::plus;
        case sign_blank:
            return sign == Sign::minus || sign == Sign::blank;
        case sign_but_zero:
            return sign == Sign::plus || sign == Sign::minus || zero;
        default:
            return sign == Sign::plus || sign == Sign::minus || (zero && sign == Sign::blank);
    }
}

}  // namespace

FieldFound read_field(const uint8_t* item, const uint8_t* field, size_t size, uint8_t step, int16_t& value) {
    const uint8_t quantity = item[1] & 0x0F;
    const uint8_t mode = item[2];
    const uint8_t form = item[3];
    const uint8_t decimals = form & form_decimals;

    size_t at = 0;
    while (at < size && field[at] == ' ')
        ++at;
    if (at == size) {
        if ((item[4] & blank_is_zero) != 0) return FieldFound::zero;
        return (item[4] & blank_is_absent) != 0 ? FieldFound::absent : FieldFound::wrong;
    }
    // One blank may be the sign's own place; more are padding and need its flag.
    const bool sign_may_be_blank = mode == sign_blank || mode == sign_blank_zero;
    const bool has_sign = field[at] == '+' || field[at] == '-';
    Sign sign = at > 0 ? Sign::blank : Sign::nothing;
    if (has_sign) sign = field[at] == '-' ? Sign::minus : Sign::plus;
    const uint8_t padding = has_sign ? form_blanks_before : (form_blanks_before | form_blanks_after);
    const size_t own_place = !has_sign && sign_may_be_blank ? 1 : 0;
    if (at > own_place && (form & padding) == 0) return FieldFound::wrong;
    if (has_sign) {
        ++at;
        while ((form & form_blanks_after) != 0 && at < size && field[at] == ' ')
            ++at;
    }

    const size_t first_digit = at;
    Digits digits = read_digits(field, size, at, Digits());
    uint8_t whole = digits.count;
    if ((form & form_point) != point_implied) {
        const uint8_t point = (form & form_point) == point_dot ? '.' : ',';
        if (at == size || field[at++] != point) return FieldFound::wrong;
        digits = read_digits(field, size, at, digits);
        if (digits.count != whole + decimals) return FieldFound::wrong;
    } else {
        if (whole < decimals) return FieldFound::wrong;
        whole = static_cast<uint8_t>(whole - decimals);
    }
    if (digits.count == 0 || digits.count > max_digits) return FieldFound::wrong;
    if (whole == 0 && (item[4] & bare_point) == 0) return FieldFound::wrong;
    if (whole > 1 && field[first_digit] == '0' && (form & form_zeros) == 0) return FieldFound::wrong;
    while ((form & form_blanks_behind) != 0 && at < size && field[at] == ' ')
        ++at;
    if (at != size) return FieldFound::wrong;

    int32_t amount = 0;
    if (!is_sign_allowed(sign, mode, digits.value == 0)) return FieldFound::wrong;
    if (!to_unit(digits.value, decimals, quantity, step, amount)) return FieldFound::wrong;
    if (sign == Sign::minus) amount = -amount;
    if (!is_in_range(amount, quantity)) return FieldFound::wrong;
    value = static_cast<int16_t>(amount);
    return FieldFound::number;
}

}  // namespace protocol
}  // namespace pairmark
