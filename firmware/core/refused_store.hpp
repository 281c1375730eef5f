// The last three captures that were no reading, for the technician: first 64 bytes, length, CRC and reason.
#pragma once

#include <stdint.h>

#include "firmware/core/board.hpp"
#include "firmware/core/eeprom_writer.hpp"
#include "firmware/core/layout.hpp"

namespace pairmark {
namespace firmware {

/// Why a capture is not a reading. Kept as a number.
enum class Refusal : uint8_t {
    not_understood = 1,
    damaged_framing = 2,
    damaged_parity = 3,
    bytes_lost = 4,
    too_long = 5,
    cut_short = 6,
    before_start = 7,
    no_profile = 8,
    no_id = 9,
    memory_full = 10,
    too_fast = 11,
    no_numbers = 12
};

/// The reason's words, joined by '_'; in flash, see flash_text.hpp.
const char* words_of(Refusal refusal);

struct RefusedHead {
    Refusal why = Refusal::not_understood;
    uint16_t length = 0;  // of the whole capture
    uint16_t at = 0;      // the byte where reading it failed
    uint32_t crc = 0;     // of the whole capture
    uint8_t kept() const {
        return static_cast<uint8_t>(length < layout::refused_kept ? length : layout::refused_kept);
    }
};

struct RefusedCapture : RefusedHead {
    uint8_t bytes[layout::refused_kept];  // the first `kept()`
};

class RefusedStore {
  public:
    /// Reads the slots; returns how many were torn.
    uint8_t scan(const Board& board);
    /// Blanks torn slots. True when finished.
    bool recover(EepromWriter& writer);

    /// Keeps a capture in place of the oldest. One that still waits for the memory is replaced.
    void keep(const RefusedHead& head, const uint8_t* bytes);

    /// The kept capture `back` places before the newest (0 to 2); false if there is none. Only while the
    /// memory is ready.
    bool read(const Board& board, uint8_t back, RefusedCapture& capture) const;

    /// The bytes of the capture that `keep` was given last, 64 at most; sound until the next `keep`.
    const uint8_t* latest() const { return image_ + 12; }

    void pump(EepromWriter& writer);

  private:
    static uint16_t address_of(uint8_t slot);

    uint8_t image_[layout::refused_size];
    bool waiting_;
    bool good_[layout::refused_slots];
    bool torn_[layout::refused_slots];
    bool sound_[layout::refused_slots];  // written since start: unchanged bytes may be skipped
    uint16_t sequence_;
    uint8_t newest_ = layout::refused_slots - 1;
};

}  // namespace firmware
}  // namespace pairmark
