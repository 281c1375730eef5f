// What the adapter must remember for ever, in two slots. A change is in force only when it rests in both:
// until then a power cut may leave either the old or the new one, and both are right.
//
// Which slot comes first: the slot that may be torn. If the two sequences differ, that is the newer one; if
// they are equal, the one that was written second. So at every moment one slot rests for certain, and a
// second cut during recovery cannot take the identity.
#pragma once

#include <stdint.h>

#include "firmware/core/board.hpp"
#include "firmware/core/eeprom_writer.hpp"

namespace pairmark {
namespace firmware {

/// As a member of Settings zero but for what stands here.
struct SettingsValues {
    uint16_t epoch = 1;
    uint16_t boot;  // this start; counts from 1, wraps
    bool has_id;
    uint8_t id[8];
    bool has_store;
    uint8_t store[8];           // the store greeted last
    uint32_t acked_before;      // last number acknowledged to another store before this one
    uint32_t profile_sequence;  // of the profile in force, 0 none
};

class Settings {
  public:
    /// Reads both slots; returns how many were torn (0 to 2). Blank slots are not torn.
    uint8_t load(const Board& board);

    const SettingsValues& values() const { return values_; }

    /// Keeps `values` in both slots. `Writing::every` once after a start, when a byte may be torn and read
    /// right.
    void save(const SettingsValues& values, Writing how = Writing::changed);
    bool rests() const { return stage_ == Stage::rest; }

    void pump(EepromWriter& writer);

  private:
    enum class Stage : uint8_t { rest, wait_first, first, wait_second, second };
    void start(EepromWriter& writer, uint8_t slot, Writing how);

    SettingsValues values_;
    uint32_t sequence_;
    uint8_t first_slot_;  // of the sequence being written, or written last
    uint8_t start_slot_;  // where the next change begins
    bool both_torn_;
    Stage stage_;
    Writing how_;
    EepromWriter::Ticket ticket_;
};

}  // namespace firmware
}  // namespace pairmark
