// One event of the adapter: as the 48 bytes that rest in its non-volatile memory, and as the fields of an
// EVENT line.
#pragma once

#include <stddef.h>
#include <stdint.h>

#include "protocol/line.hpp"

namespace pairmark {
namespace protocol {

enum class EventKind : uint8_t { reading = 1, key = 2 };
enum class Key : uint8_t { go_on = 1, turn_down = 2, undo = 3, set_aside = 4 };
enum class EyeCode : uint8_t { none = 0, right = 1, left = 2 };

/// What the instrument counts in, as its profile says. `eighth` repairs the cut thirds (.12 .37 .62 .87) on
/// the host.
enum class StepCode : uint8_t { quarter = 1, eighth = 2, hundredth = 3 };

/// One lens as the instrument's screen showed it: hundredths of a dioptre (or prism dioptre), whole degrees.
struct LensFields {
    EyeCode eye = EyeCode::none;
    int16_t sphere = 0;    // -3000 to 3000
    int16_t cylinder = 0;  // -1200 to 1200, plus or minus form as shown
    uint8_t axis = 0;      // 1 to 180; 0 when the cylinder is 0
    bool has_addition = false;
    int16_t addition = 0;  // 0 to 600
    bool has_prism = false;
    int16_t horizontal_prism = 0;  // base in is plus, base out minus; -3000 to 3000, as the other
    int16_t vertical_prism = 0;    // base up is plus, base down minus
};

constexpr int16_t max_sphere = 3000;
constexpr int16_t max_cylinder = 1200;
constexpr int16_t max_addition = 600;
constexpr int16_t max_prism = 3000;
constexpr int16_t min_centres = 100;  // tenths of a millimetre
constexpr int16_t max_centres = 1200;

struct EventFields {
    uint32_t number = 0;  // from 1, never wrapping
    uint16_t epoch = 0;
    uint16_t boot = 0;  // counts the adapter's starts; says whether `captured_ms` can be turned into an age
    uint32_t captured_ms = 0;  // since that start
    EventKind kind = EventKind::reading;
    bool first_after_reset = false;
    Key key = Key::go_on;               // kind key
    bool long_press = false;            // kind key
    StepCode step = StepCode::quarter;  // kind reading, as the rest
    uint8_t lens_count = 0;             // 1 or 2; of two, right before left
    bool has_centres = false;
    int16_t centres = 0;  // tenths of a millimetre, 100 to 1200
    LensFields lens[2];
};

/// Of two lenses either both eyes are named, right before left, or neither is.
inline bool are_in_order(EyeCode first, EyeCode second) {
    return first == EyeCode::none ? second == EyeCode::none
                                  : first == EyeCode::right && second == EyeCode::left;
}

/// True if every field that counts for this kind lies in the range written beside it.
bool in_range(const LensFields& lens);
bool in_range(const EventFields& event);

constexpr size_t record_size = 48;
constexpr size_t record_cue_at = 42;    // FF until the cue was given, then 00; outside the CRC
constexpr size_t record_acked_at = 43;  // FF until acknowledged, then 00; outside the CRC
constexpr size_t record_crc_at = 44;    // CRC-32 of bytes 0 to 41, little end first

/// Writes the record's 48 bytes, cue and acknowledgement not given. Returns the record's CRC.
uint32_t pack_record(const EventFields& event, uint8_t (&bytes)[record_size]);

/// Reads a record. False if its CRC is wrong or a field lies outside its range: nothing of it may then be
/// used.
bool unpack_record(const uint8_t (&bytes)[record_size], EventFields& event, uint32_t& crc);

/// An EVENT line. `id` is the adapter's 8 identity bytes; `crc` the record's; `age_known` with `age_ms` since
/// capture.
Text write_event(LineWriter& line, const uint8_t (&id)[8], const EventFields& event, uint32_t crc,
                 bool age_known, uint32_t age_ms);

/// What an EVENT line said.
struct EventLine {
    uint8_t id[8] = {0, 0, 0, 0, 0, 0, 0, 0};
    uint32_t crc = 0;
    bool age_known = false;
    uint32_t age_ms = 0;
    EventFields event;  // boot and captured_ms are 0: they do not travel
};

/// Reads an EVENT line. False, with the offending key in `fault`, if a field is missing, malformed or out of
/// range.
bool read_event(const Line& line, EventLine& event, const char*& fault);

}  // namespace protocol
}  // namespace pairmark
