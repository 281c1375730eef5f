// What the adapter's logic asks of a board. One thin folder under firmware/board/ answers it for a real chip;
// the native board answers it on a PC.
#pragma once

#include <stdint.h>

#include "protocol/profile.hpp"

namespace pairmark {
namespace firmware {

enum class ResetCause : uint8_t { power, pin, brown_out, watchdog, unknown };

/// What the receiver said about one byte of the instrument; bits, because they come together.
enum : uint8_t { fault_framing = 1, fault_parity = 2, fault_overrun = 4 };

struct InstrumentByte {
    uint8_t value;
    uint8_t faults;  // overrun: at least one byte before this one was lost
};

/// The four keys as bits of `keys()`, in the order of the board's pins.
enum : uint8_t { key_go = 1, key_down = 2, key_undo = 4, key_aside = 8 };

class Board {
  public:
    virtual const char* name() const = 0;  // no blanks
    virtual ResetCause reset_cause() const = 0;
    /// Milliseconds since start; wraps after 49 days, so only differences are used.
    virtual uint32_t now_ms() const = 0;

    /// Host port. `take_host` gives the next received byte, false if there is none.
    virtual bool take_host(uint8_t& byte) = 0;
    virtual uint16_t host_buffer() const = 0;  // bytes that may be on their way to us without loss
    virtual uint16_t host_room() const = 0;    // bytes that `send_host` takes now
    virtual void send_host(const char* bytes, uint16_t size) = 0;  // size <= host_room()

    /// Instrument port. It is silent until `set_instrument` was called.
    virtual bool take_instrument(InstrumentByte& byte) = 0;
    virtual void set_instrument(const protocol::SerialSettings& settings) = 0;

    /// Non-volatile memory, 4096 bytes. Reading or writing is allowed only while `eeprom_ready`; a write then
    /// takes some 3.4 ms. Power lost meanwhile leaves that byte torn: it may read differently each time until
    /// rewritten.
    virtual bool eeprom_ready() const = 0;
    virtual uint8_t read_eeprom(uint16_t at) const = 0;
    virtual void write_eeprom(uint16_t at, uint8_t value) = 0;

    virtual void set_lamps(uint8_t lamps) = 0;  // bit n: the lamp at place n, see cues.hpp
    virtual void set_tone(uint16_t hz) = 0;     // 0: silent
    virtual uint8_t keys() const = 0;           // bits of the keys that are down, not debounced
    virtual uint16_t stack_left() const = 0;  // bytes of the stack never touched since start; 0 where unknown

  protected:
    ~Board() =
        default;  // never destroyed through this interface; a virtual one would need a heap on the chip
};

/// `now` has reached `then`, both of the wrapping millisecond clock.
inline bool reached(uint32_t now, uint32_t then) {
    return static_cast<int32_t>(now - then) >= 0;
}

}  // namespace firmware
}  // namespace pairmark
