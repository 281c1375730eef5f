// A profile in its compact form: how an instrument's capture is framed and where its numbers stand. And the
// interpreter that reads a capture by it, the same code in the adapter and on the host.
//
// Every text that is handed out as a reason is one of protocol/flash_text.hpp: a plain text on a PC.
//
// Trust: a profile may be damaged and a capture may be anything. Invariants, for any profile and any bytes
// whatever:
//   D1  nothing outside the profile, the capture and the result is read or written;
//   D2  the work is bounded: max_steps comparisons of bytes and attempts for one capture, then it is refused;
//   D3  a reading is given only if every byte of the capture was accounted for by the profile;
//   D4  if the profile accepts a capture in two ways with different readings (by two shapes, or by one whose
//       parts can be cut in two ways), it is refused;
//   D5  numbers given lie in the ranges of LensFields, axis 1 to 180 with a cylinder and 0 without.
#pragma once

#include <stddef.h>
#include <stdint.h>

#include "protocol/event_record.hpp"

namespace pairmark {
namespace protocol {

constexpr size_t max_capture = 256;  // bytes of one capture
constexpr size_t max_profile = 752;  // bytes of a compact profile
constexpr uint32_t max_steps = 20000;
constexpr uint8_t profile_version = 1;
constexpr size_t max_shapes = 32;
constexpr size_t max_parts = 64;  // of one shape: all items that are not plain text

/// How the serial line to the instrument is set.
struct SerialSettings {
    uint32_t baud = 9600;   // 1200 to 115200, a multiple of 1200
    uint8_t data_bits = 8;  // 7 or 8
    char parity = 'N';      // N, E or O
    uint8_t stop_bits = 1;  // 1 or 2
};

/// Where one capture ends. A capture holds all its bytes, start byte and terminator included.
enum class FrameBy : uint8_t { idle = 1, terminator = 2, length = 3 };

struct Framing {
    FrameBy by = FrameBy::idle;
    /// 2 to 10000: the silence that ends a capture; for the other kinds, after which a half one is refused.
    uint16_t idle_ms = 200;
    uint16_t length = 0;          // FrameBy::length: 1 to max_capture
    uint8_t terminator_size = 0;  // FrameBy::terminator, 1 to 4 bytes
    uint8_t terminator[4] = {0, 0, 0, 0};
    bool has_start = false;  // a capture begins with `start`; what comes before it is noise
    uint8_t start = 0;
};

/// A compact profile whose form was checked. Points into bytes that must outlive it.
class Profile {
  public:
    /// False if the bytes are not a well-formed profile of this version; `why` then says what is wrong, and
    /// where in `at`.
    bool open(const uint8_t* bytes, size_t size, const char*& why, size_t& at);
    bool is_open() const { return bytes_ != nullptr; }
    const SerialSettings& serial() const { return serial_; }
    const Framing& framing() const { return framing_; }
    StepCode step() const { return step_; }
    const uint8_t* bytes() const { return bytes_; }
    size_t size() const { return size_; }
    uint32_t crc() const { return crc_; }
    size_t shapes_at() const { return shapes_at_; }
    bool zero_axis_is_180() const { return zero_axis_is_180_; }  // axis 0 beside a cylinder means 180

  private:
    const uint8_t* bytes_ = nullptr;
    size_t size_ = 0;
    size_t shapes_at_ = 0;
    uint32_t crc_ = 0;
    SerialSettings serial_;
    Framing framing_;
    StepCode step_ = StepCode::quarter;
    bool zero_axis_is_180_ = false;
};

/// What a capture said.
struct Decoded {
    enum class Outcome : uint8_t { reading, no_reading, refused };
    Outcome outcome = Outcome::refused;
    const char* why = "";  // refused: a short sentence; never null
    size_t at = 0;         // refused: the byte of the capture where the best matching shape failed
    uint8_t lens_count = 0;
    LensFields lens[2];  // right before left where both are named
    bool has_centres = false;
    int16_t centres = 0;  // tenths of a millimetre
};

/// Reads one capture by an open profile.
Decoded decode(const Profile& profile, const uint8_t* capture, size_t size);

}  // namespace protocol
}  // namespace pairmark
