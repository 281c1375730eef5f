// Writes to the non-volatile memory one byte at a time while the rest of the adapter goes on. One job at
// once; its bytes are written in rising order, so what stands last (a CRC) is written last.
#pragma once

#include <stdint.h>

#include "firmware/core/board.hpp"
#include "firmware/core/layout.hpp"

namespace pairmark {
namespace firmware {

/// Unchanged bytes are skipped to save wear and time. `every`: each byte is written, because a torn byte may
/// read right by chance at the moment of comparing.
enum class Writing : uint8_t { changed, every };

class EepromWriter {
  public:
    using Ticket = uint8_t;

    bool idle() const { return left_ == 0 && !last_byte_; }

    /// Starts a job; only when `idle`. The bytes (at most 80) are copied. The ticket tells later whether they
    /// rest.
    Ticket write(uint16_t at, const uint8_t* bytes, uint8_t size, Writing how = Writing::changed);
    Ticket fill(uint16_t at, uint8_t value, uint8_t size, Writing how);

    /// Every byte of that job rests in memory. Ask before 127 other jobs were done.
    bool rests(Ticket ticket) const { return static_cast<int8_t>(finished_ - ticket) >= 0; }

    /// Goes on by at most one byte. Call once a step.
    void pump(Board& board);

  private:
    Ticket begin(uint16_t at, uint8_t size, Writing how);

    uint8_t bytes_[layout::refused_size];
    uint16_t at_;
    uint8_t next_;
    uint8_t left_;
    bool last_byte_;  // all are handed over; the last is still being written
    Writing how_;
    Ticket started_;
    Ticket finished_;
};

}  // namespace firmware
}  // namespace pairmark
