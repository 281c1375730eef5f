#include "protocol/values.hpp"

#include <string.h>

#include "protocol/flash_text.hpp"

namespace pairmark {
namespace protocol {

namespace {

bool is_same(const LensFields& a, const LensFields& b) {
    return a.eye == b.eye && a.sphere == b.sphere && a.cylinder == b.cylinder && a.axis == b.axis &&
           a.has_addition == b.has_addition && a.addition == b.addition && a.has_prism == b.has_prism &&
           a.horizontal_prism == b.horizontal_prism && a.vertical_prism == b.vertical_prism;
}

}  // namespace

bool is_same(const Decoded& a, const Decoded& b) {
    return a.outcome == b.outcome && a.lens_count == b.lens_count && is_same(a.lens[0], b.lens[0]) &&
           is_same(a.lens[1], b.lens[1]) && a.has_centres == b.has_centres && a.centres == b.centres;
}

Values::Values() {
    memset(side_, 0, sizeof side_);
}

void Values::set(uint8_t target, int16_t value) {
    const uint8_t quantity = target & 0x0F;
    if (quantity == quantity_centres) {
        if (has_centres_ && centres_ != value) conflict_ = true;
        has_centres_ = true;
        centres_ = value;
        return;
    }
    Side& side = side_[target >> 4];
    const uint8_t bit = static_cast<uint8_t>(1u << quantity);
    if ((side.has & bit) != 0 && side.value[quantity] != value) conflict_ = true;
    side.has |= bit;
    side.value[quantity] = value;
}

void Values::say(uint8_t target, uint8_t meaning) {
    const uint8_t quantity = target & 0x0F;
    Side& side = side_[target >> 4];
    if (quantity == quantity_eye) {
        const EyeCode eye = static_cast<EyeCode>(meaning);
        if (eye == EyeCode::none) return;
        if (side.eye != EyeCode::none && side.eye != eye) conflict_ = true;
        side.eye = eye;
        return;
    }
    const uint8_t bit = static_cast<uint8_t>(1u << quantity);
    if ((side.spoken & bit) != 0 && side.sign[quantity] != meaning) conflict_ = true;
    side.spoken |= bit;
    side.sign[quantity] = meaning;
}

const char* Values::resolve_lens(const Side& side, bool zero_axis_is_180, LensFields& lens) const {
    int16_t value[quantity_centres];
    memcpy(value, side.value, sizeof value);
    for (uint8_t quantity = 0; quantity < quantity_centres; ++quantity) {
        const uint8_t bit = static_cast<uint8_t>(1u << quantity);
        if ((side.spoken & side.has & bit) == 0) continue;
        if (value[quantity] < 0) return PAIRMARK_TEXT("two signs");
        if (value[quantity] != 0 && side.sign[quantity] == meaning_none)
            return PAIRMARK_TEXT("no sign or base");
        if (side.sign[quantity] == meaning_minus) value[quantity] = static_cast<int16_t>(-value[quantity]);
    }
    lens.eye = side.eye;
    lens.sphere = value[quantity_sphere];
    lens.cylinder = value[quantity_cylinder];
    lens.has_addition = (side.has & (1u << quantity_addition)) != 0;
    lens.addition = value[quantity_addition];
    lens.has_prism = (side.has & ((1u << quantity_horizontal_prism) | (1u << quantity_vertical_prism))) != 0;
    lens.horizontal_prism = value[quantity_horizontal_prism];
    lens.vertical_prism = value[quantity_vertical_prism];
    if (lens.cylinder != 0) {
        lens.axis = static_cast<uint8_t>(value[quantity_axis]);
        if (lens.axis == 0 && (side.has & (1u << quantity_axis)) != 0 && zero_axis_is_180) lens.axis = 180;
        if (lens.axis == 0) return PAIRMARK_TEXT("cylinder without axis");
    }
    return in_range(lens) ? PAIRMARK_TEXT("") : PAIRMARK_TEXT("out of range");
}

Decoded Values::resolve(bool zero_axis_is_180) const {
    Decoded said;
    said.why = PAIRMARK_TEXT("two values of one number");
    if (conflict_) return said;
    for (const Side& side : side_) {
        const bool has_sphere = (side.has & (1u << quantity_sphere)) != 0;
        if (!has_sphere && side.has == 0) continue;  // a lens that was not measured
        said.why = PAIRMARK_TEXT("no sphere");
        if (!has_sphere) return said;
        said.why = resolve_lens(side, zero_axis_is_180, said.lens[said.lens_count++]);
        if (flash_char(said.why) != 0) return said;
    }
    said.why = PAIRMARK_TEXT("no lens");
    if (said.lens_count == 0) return said;
    if (said.lens_count == 2) {
        if (are_in_order(said.lens[1].eye, said.lens[0].eye) && said.lens[0].eye != EyeCode::none) {
            const LensFields left = said.lens[0];
            said.lens[0] = said.lens[1];
            said.lens[1] = left;
        }
        said.why = PAIRMARK_TEXT("eyes do not differ");
        if (!are_in_order(said.lens[0].eye, said.lens[1].eye)) return said;
    }
    said.has_centres = has_centres_;
    said.centres = centres_;
    said.outcome = Decoded::Outcome::reading;
    said.why = PAIRMARK_TEXT("");
    return said;
}

}  // namespace protocol
}  // namespace pairmark
