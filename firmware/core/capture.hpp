// Finds where one capture of the instrument begins and ends. It knows nothing of what the capture says.
#pragma once

#include <stdint.h>

#include "firmware/core/board.hpp"
#include "protocol/profile.hpp"

namespace pairmark {
namespace firmware {

class CaptureFramer {
  public:
    enum class Found : uint8_t {
        nothing,
        capture,  // complete, or damaged, or cut short: see faults(), too_long(), cut_short()
        noise     // bytes before the start byte; call `resume` when they were dealt with
    };

    /// From here on by this framing; forgets what was begun.
    void set(const protocol::Framing& framing);

    Found take(InstrumentByte byte, uint32_t now);
    /// Tells that time has passed; a silence may end a capture.
    Found tick(uint32_t now);
    /// After `noise`: goes on with the start byte that ended it, if one did.
    Found resume(uint32_t now);

    /// What was found; valid until the next byte is taken.
    const uint8_t* bytes() const { return bytes_; }
    uint16_t size() const { return length_ < protocol::max_capture ? length_ : protocol::max_capture; }
    uint16_t length() const { return length_; }  // size of the whole capture, whether it fitted or not
    uint32_t crc() const { return crc_; }        // of the whole capture
    uint8_t faults() const { return faults_; }
    bool too_long() const { return length_ > protocol::max_capture; }
    bool cut_short() const { return cut_short_; }
    /// No byte came since the last capture ended, so `bytes()` still holds it.
    bool undisturbed() const { return ended_; }

  private:
    void clear();
    Found add(InstrumentByte byte, uint32_t now);

    protocol::Framing framing_;
    uint8_t bytes_[protocol::max_capture];
    uint16_t length_;
    uint32_t crc_;
    uint32_t tail_;  // the last four bytes, newest lowest
    uint32_t last_ms_;
    uint8_t faults_;
    bool cut_short_;
    bool noise_;
    bool ended_ = true;
    bool held_;
    InstrumentByte held_byte_;
};

}  // namespace firmware
}  // namespace pairmark
