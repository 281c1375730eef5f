// The adapter's events between the moment they happen and the moment the host has them for good: 45 records
// in non-volatile memory, written in rotation so that the cells wear evenly.
//
// A slot's life: blank -> being written -> waiting -> acknowledged -> (overwritten by a later event).
// A record is `waiting` only when all its bytes rest. One slot is always kept free: recovery moves a record
// there instead of rewriting the only copy of something that was already accepted. So 44 events can wait.
#pragma once

#include <stdint.h>

#include "firmware/core/board.hpp"
#include "firmware/core/eeprom_writer.hpp"
#include "firmware/core/layout.hpp"

namespace pairmark {
namespace firmware {

class Outbox {
  public:
    enum class Taken : uint8_t { taken, full, busy, exhausted };
    static constexpr uint8_t capacity = layout::outbox_slots - 1;

    /// Looks at every slot; returns how many are torn. Nothing is written yet.
    uint8_t scan(const Board& board);

    /// Recovery after `scan`, once the epoch has risen if it had to: blanks torn slots, moves records whose
    /// cue is not recorded. True when finished; call `pump` in between. Records to be cued come out of
    /// `take_rested`.
    bool recover(EepromWriter& writer, const Board& board);

    /// Gives the event its number and keeps it. `taken` is not yet accepted: that is when `take_rested`
    /// tells. `busy`: more events at once than the memory can follow. `exhausted`: no number is left.
    Taken put(protocol::EventFields& event);

    /// True once for each record that has come to rest; its kind. The caller then gives the cue, and its
    /// recording follows when it was seen.
    bool take_rested(protocol::EventKind& kind);

    /// The waiting record with the lowest number. False if none waits. Only while the memory is ready.
    bool oldest(const Board& board, uint8_t& slot, protocol::EventFields& event, uint32_t& crc) const;

    /// The host has the record of this slot.
    void acknowledge(uint8_t slot, uint32_t number);

    uint8_t waiting() const { return waiting_; }
    uint8_t free() const;  // events that can still be taken; right once recovery has finished
    /// Something is still to be written.
    bool busy() const { return pending_ > 0 || storing_ || marks_; }
    bool at_rest() const { return waiting_ == 0 && pending_ == 0 && !storing_; }
    uint32_t next_number() const { return highest_ == 0xFFFFFFFF ? highest_ : highest_ + 1; }
    uint32_t highest_acknowledged() const { return highest_acked_; }

    /// `cue_seen`: no accepted cue is just being shown. Only then it is recorded as given: power that goes
    /// before the lamp was lit long enough to be seen makes the next start show it again.
    void pump(EepromWriter& writer, bool cue_seen);

  private:
    /// What RAM knows of a slot: two bits of state and five flags.
    enum : uint8_t {
        blank = 0,
        torn = 1,
        waiting_here = 2,
        acked = 3,
        state_bits = 3,
        uncued = 4,     // found at start: its cue is not recorded
        mark_cue = 8,   // the mark is still to be written
        mark_ack = 16,  // likewise
        sound = 32      // written since this start: no byte can be torn, so unchanged ones may be skipped
    };
    static constexpr uint8_t pending_max = 3;
    static constexpr uint8_t no_slot = 0xFF;

    uint8_t state(uint8_t slot) const { return slots_[slot] & state_bits; }
    static uint8_t after(uint8_t slot) {
        return slot + 1 == layout::outbox_slots ? 0 : static_cast<uint8_t>(slot + 1);
    }
    void look_at(const Board& board, uint8_t slot);
    bool read(const Board& board, uint8_t slot, uint8_t (&bytes)[protocol::record_size],
              protocol::EventFields& event, uint32_t& crc) const;
    bool is_twin(const Board& board, uint8_t slot, uint8_t other) const;
    /// Another copy of that record was cued, or waits and will be.
    bool is_told_by_twin(const Board& board, uint8_t slot) const;
    void count_rested(protocol::EventKind kind);
    bool write_mark(EepromWriter& writer, bool cue_seen);
    uint8_t next_free() const;
    void store(EepromWriter& writer, const uint8_t* record, Writing how);
    void rested();
    static uint16_t address_of(uint8_t slot);

    uint8_t slots_[layout::outbox_slots];
    uint8_t pending_records_[pending_max][protocol::record_size];
    uint32_t highest_;  // given to a record that is valid or pending
    uint32_t highest_acked_;
    uint8_t pending_;
    uint8_t waiting_;
    // Slot written last. Records are written in rotation in the order of their numbers and recovery keeps
    // that order, so the oldest that waits is the first behind this slot.
    uint8_t latest_ = layout::outbox_slots - 1;
    bool storing_;
    bool marks_ = true;  // a slot may have a mark to be written
    uint8_t store_slot_;
    protocol::EventKind store_kind_ = protocol::EventKind::reading;
    uint8_t moving_from_ = no_slot;
    uint8_t rested_readings_;
    uint8_t rested_keys_;
    EepromWriter::Ticket ticket_;
    uint8_t acking_slot_ = no_slot;  // its mark is being written: not free yet
    EepromWriter::Ticket ack_ticket_;
};

}  // namespace firmware
}  // namespace pairmark
