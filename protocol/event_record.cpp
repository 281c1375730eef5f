#include "protocol/event_record.hpp"

#include <string.h>

#include "protocol/bytes.hpp"
#include "protocol/crc32.hpp"

namespace pairmark {
namespace protocol {

namespace {

// Byte places; SPEC.md shows the same as a table.
constexpr size_t kind_at = 0, flags_at = 1, number_at = 2, epoch_at = 6, boot_at = 8, captured_at = 10,
                 what_at = 14;
constexpr size_t lens_count_at = 15, centres_at = 16, lens_at = 18, lens_size = 12;
constexpr uint8_t flag_first = 1, flag_long = 2, flag_centres = 4;
constexpr uint8_t lens_addition = 4, lens_prism = 8;

int16_t signed16(const uint8_t* at) {
    return static_cast<int16_t>(get16(at));
}

void pack_lens(const LensFields& lens, uint8_t* at) {
    at[0] = static_cast<uint8_t>(lens.eye);
    at[1] = lens.axis;
    put16(at + 2, static_cast<uint16_t>(lens.sphere));
    put16(at + 4, static_cast<uint16_t>(lens.cylinder));
    if (lens.has_addition) {
        at[0] |= lens_addition;
        put16(at + 6, static_cast<uint16_t>(lens.addition));
    }
    if (lens.has_prism) {
        at[0] |= lens_prism;
        put16(at + 8, static_cast<uint16_t>(lens.horizontal_prism));
        put16(at + 10, static_cast<uint16_t>(lens.vertical_prism));
    }
}

void unpack_lens(const uint8_t* at, LensFields& lens) {
    lens.eye = static_cast<EyeCode>(at[0] & 3);
    lens.axis = at[1];
    lens.sphere = signed16(at + 2);
    lens.cylinder = signed16(at + 4);
    lens.has_addition = (at[0] & lens_addition) != 0;
    lens.addition = signed16(at + 6);
    lens.has_prism = (at[0] & lens_prism) != 0;
    lens.horizontal_prism = signed16(at + 8);
    lens.vertical_prism = signed16(at + 10);
}

}  // namespace

bool in_range(const LensFields& lens) {
    const int16_t prism = lens.has_prism ? max_prism : 0;
    return lens.eye <= EyeCode::left && lens.sphere >= -max_sphere && lens.sphere <= max_sphere &&
           lens.cylinder >= -max_cylinder && lens.cylinder <= max_cylinder && lens.axis <= 180 &&
           (lens.axis == 0) == (lens.cylinder == 0) && lens.addition >= 0 &&
           lens.addition <= (lens.has_addition ? max_addition : 0) && lens.horizontal_prism >= -prism &&
           lens.horizontal_prism <= prism && lens.vertical_prism >= -prism && lens.vertical_prism <= prism;
}

bool in_range(const EventFields& event) {
    if (event.number == 0) return false;
    if (event.kind == EventKind::key) return event.key >= Key::go_on && event.key <= Key::set_aside;
    if (event.kind != EventKind::reading || event.step < StepCode::quarter ||
        event.step > StepCode::hundredth)
        return false;
    if (event.lens_count < 1 || event.lens_count > 2) return false;
    if (event.has_centres && (event.centres < min_centres || event.centres > max_centres)) return false;
    for (uint8_t i = 0; i < event.lens_count; ++i)
        if (!in_range(event.lens[i])) return false;
    return event.lens_count == 1 || are_in_order(event.lens[0].eye, event.lens[1].eye);
}

uint32_t pack_record(const EventFields& event, uint8_t (&bytes)[record_size]) {
    memset(bytes, 0, record_size);
    bytes[kind_at] = static_cast<uint8_t>(event.kind);
    bytes[flags_at] = event.first_after_reset ? flag_first : 0;
    put32(bytes + number_at, event.number);
    put16(bytes + epoch_at, event.epoch);
    put16(bytes + boot_at, event.boot);
    put32(bytes + captured_at, event.captured_ms);
    if (event.kind == EventKind::key) {
        bytes[what_at] = static_cast<uint8_t>(event.key);
        if (event.long_press) bytes[flags_at] |= flag_long;
    } else {
        bytes[what_at] = static_cast<uint8_t>(event.step);
        bytes[lens_count_at] = event.lens_count;
        if (event.has_centres) {
            bytes[flags_at] |= flag_centres;
            put16(bytes + centres_at, static_cast<uint16_t>(event.centres));
        }
        for (uint8_t i = 0; i < event.lens_count && i < 2; ++i)
            pack_lens(event.lens[i], bytes + lens_at + lens_size * i);
    }
    const uint32_t crc = crc32(bytes, record_cue_at);
    bytes[record_cue_at] = 0xFF;
    bytes[record_acked_at] = 0xFF;
    put32(bytes + record_crc_at, crc);
    return crc;
}

bool unpack_record(const uint8_t (&bytes)[record_size], EventFields& event, uint32_t& crc) {
    crc = get32(bytes + record_crc_at);
    if (crc32(bytes, record_cue_at) != crc) return false;
    EventFields read;
    read.kind = static_cast<EventKind>(bytes[kind_at]);
    read.first_after_reset = (bytes[flags_at] & flag_first) != 0;
    read.number = get32(bytes + number_at);
    read.epoch = get16(bytes + epoch_at);
    read.boot = get16(bytes + boot_at);
    read.captured_ms = get32(bytes + captured_at);
    if (read.kind == EventKind::key) {
        read.key = static_cast<Key>(bytes[what_at]);
        read.long_press = (bytes[flags_at] & flag_long) != 0;
    } else {
        read.step = static_cast<StepCode>(bytes[what_at]);
        read.lens_count = bytes[lens_count_at];
        read.has_centres = (bytes[flags_at] & flag_centres) != 0;
        read.centres = signed16(bytes + centres_at);
        for (uint8_t i = 0; i < read.lens_count && i < 2; ++i)
            unpack_lens(bytes + lens_at + lens_size * i, read.lens[i]);
    }
    // One record has one form: bytes without a meaning are zero, so a record of a newer kind is never half
    // understood.
    uint8_t again[record_size];
    if (!in_range(read) || pack_record(read, again) != crc || memcmp(bytes, again, record_cue_at) != 0)
        return false;
    event = read;
    return true;
}

}  // namespace protocol
}  // namespace pairmark
