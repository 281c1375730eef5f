#include "firmware/core/outbox.hpp"

#include <string.h>

namespace pairmark {
namespace firmware {

using namespace layout;
using protocol::EventFields;
using protocol::EventKind;
using protocol::record_acked_at;
using protocol::record_cue_at;
using protocol::record_size;

namespace {
constexpr uint8_t record_bytes = static_cast<uint8_t>(record_size);
}

uint16_t Outbox::address_of(uint8_t slot) {
    return static_cast<uint16_t>(outbox_at + slot * record_bytes);
}

bool Outbox::read(const Board& board, uint8_t slot, uint8_t (&bytes)[record_size], EventFields& event,
                  uint32_t& crc) const {
    read_bytes(board, address_of(slot), bytes, record_bytes);
    return unpack_record(bytes, event, crc);
}

void Outbox::look_at(const Board& board, uint8_t slot) {
    uint8_t bytes[record_size];
    slots_[slot] = blank;
    if (read_slot(board, address_of(slot), bytes, record_bytes) == SlotRead::blank) return;
    // The two marks lie outside the CRC and may be torn by themselves. A mark that is not FF was begun, so
    // what it says is true; it is written again if it was not 00 both times.
    const uint8_t cue = bytes[record_cue_at];
    const uint8_t ack = bytes[record_acked_at];
    slots_[slot] = torn;
    EventFields event;
    uint32_t crc = 0;
    uint32_t crc_again = 0;
    if (!unpack_record(bytes, event, crc) || !read(board, slot, bytes, event, crc_again) || crc != crc_again)
        return;
    const uint8_t both_acks = ack & bytes[record_acked_at];
    const uint8_t both_cues = cue & bytes[record_cue_at];
    // Of two copies of one record the moved one counts: the other was only marked as done with, its cue
    // never.
    if (event.number > highest_ || (event.number == highest_ && !(both_acks != 0xFF && both_cues == 0xFF))) {
        highest_ = event.number;
        latest_ = slot;
    }
    if (both_acks != 0xFF) {
        slots_[slot] = acked;
        if ((ack | bytes[record_acked_at]) != 0) slots_[slot] |= mark_ack;
        if (both_cues == 0xFF) slots_[slot] |= uncued;
        if (event.number > highest_acked_) highest_acked_ = event.number;
        return;
    }
    slots_[slot] = waiting_here;
    ++waiting_;
    if (both_cues == 0xFF) {
        slots_[slot] |= uncued;
    } else if ((cue | bytes[record_cue_at]) != 0) {
        slots_[slot] |= mark_cue;
    }
}

bool Outbox::is_twin(const Board& board, uint8_t slot, uint8_t other) const {
    for (uint8_t i = 0; i < record_cue_at; ++i) {
        if (board.read_eeprom(static_cast<uint16_t>(address_of(slot) + i)) !=
            board.read_eeprom(static_cast<uint16_t>(address_of(other) + i))) {
            return false;
        }
    }
    return true;
}

uint8_t Outbox::scan(const Board& board) {
    uint8_t torn_slots = 0;
    for (uint8_t slot = 0; slot < outbox_slots; ++slot) {
        look_at(board, slot);
        if (state(slot) == torn) ++torn_slots;
    }
    // Two waiting copies of one record: recovery was cut while moving it. Of two without a cue either is as
    // good.
    for (uint8_t slot = 0; slot < outbox_slots; ++slot) {
        if (state(slot) != waiting_here || (slots_[slot] & uncued) == 0) continue;
        for (uint8_t other = 0; other < outbox_slots; ++other) {
            if (other == slot || state(other) != waiting_here || !is_twin(board, slot, other)) continue;
            slots_[slot] = torn;
            --waiting_;
            if (latest_ == slot) latest_ = other;
            break;
        }
    }
    // The host was quicker than the eye: the newest record is acknowledged, but the lamp went out before
    // anybody can have seen it. An older one is not told of: its cue would be taken for the newest's.
    if ((slots_[latest_] & (state_bits | uncued)) == (acked | uncued) && !is_told_by_twin(board, latest_)) {
        count_rested(static_cast<EventKind>(board.read_eeprom(address_of(latest_))));
        slots_[latest_] |= mark_cue;
    }
    return torn_slots;
}

bool Outbox::is_told_by_twin(const Board& board, uint8_t slot) const {
    for (uint8_t other = 0; other < outbox_slots; ++other)
        if (other != slot && state(other) >= waiting_here &&
            (slots_[other] & (state_bits | uncued)) != (acked | uncued) && is_twin(board, slot, other))
            return true;
    return false;
}

void Outbox::count_rested(EventKind kind) {
    ++(kind == EventKind::reading ? rested_readings_ : rested_keys_);
}

bool Outbox::recover(EepromWriter& writer, const Board& board) {
    if (storing_ || !writer.idle() || !board.eeprom_ready()) return false;
    if (moving_from_ != no_slot) {
        if (write_mark(writer, false))
            return false;  // nothing else until the old copy is marked as done with
        moving_from_ = no_slot;
    }
    uint8_t slot = latest_;
    for (uint8_t i = 0; i < outbox_slots; ++i) {
        slot = after(slot);
        if (state(slot) == torn) {
            writer.fill(address_of(slot), 0xFF, record_bytes, Writing::every);
            slots_[slot] = blank | sound;
            return false;
        }
    }
    for (uint8_t i = 0; i < outbox_slots; ++i) {
        slot = after(slot);
        if (state(slot) != waiting_here || (slots_[slot] & uncued) == 0) continue;
        uint8_t bytes[record_size];
        EventFields event;
        uint32_t crc = 0;
        if (!read(board, slot, bytes, event, crc)) {
            // Torn after all: it only read right before. It was never accepted, and its number was never told
            // to anybody.
            slots_[slot] = torn;
            --waiting_;
            return false;
        }
        bytes[record_cue_at] = bytes[record_acked_at] = 0xFF;
        moving_from_ = slot;
        store(writer, bytes, Writing::every);
        return false;
    }
    return true;
}

uint8_t Outbox::next_free() const {
    uint8_t slot = latest_;
    for (uint8_t i = 0; i < outbox_slots; ++i) {
        slot = after(slot);
        const bool usable =
            state(slot) == blank || (state(slot) == acked && (slots_[slot] & (mark_ack | mark_cue)) == 0);
        if (usable && slot != acking_slot_) return slot;
    }
    return no_slot;
}

uint8_t Outbox::free() const {
    const uint8_t taken = static_cast<uint8_t>(waiting_ + pending_);
    return taken < capacity ? static_cast<uint8_t>(capacity - taken) : 0;
}

Outbox::Taken Outbox::put(EventFields& event) {
    if (highest_ == 0xFFFFFFFF) return Taken::exhausted;
    if (free() == 0) return Taken::full;
    if (pending_ == pending_max) return Taken::busy;
    event.number = ++highest_;
    pack_record(event, pending_records_[pending_]);
    ++pending_;
    return Taken::taken;
}

bool Outbox::take_rested(EventKind& kind) {
    if (rested_readings_ > 0) {
        --rested_readings_;
        kind = EventKind::reading;
        return true;
    }
    if (rested_keys_ > 0) {
        --rested_keys_;
        kind = EventKind::key;
        return true;
    }
    return false;
}

bool Outbox::oldest(const Board& board, uint8_t& slot, EventFields& event, uint32_t& crc) const {
    slot = latest_;
    for (uint8_t i = 0; i < outbox_slots; ++i) {
        slot = after(slot);
        uint8_t bytes[record_size];
        if (state(slot) == waiting_here) return read(board, slot, bytes, event, crc);
    }
    return false;
}

void Outbox::acknowledge(uint8_t slot, uint32_t number) {
    if (state(slot) != waiting_here) return;
    slots_[slot] = static_cast<uint8_t>((slots_[slot] & ~state_bits) | acked | mark_ack);
    marks_ = true;
    if (number > highest_acked_) highest_acked_ = number;
    --waiting_;
}

void Outbox::store(EepromWriter& writer, const uint8_t* record, Writing how) {
    store_kind_ = static_cast<EventKind>(record[0]);
    store_slot_ = next_free();
    ticket_ = writer.write(address_of(store_slot_), record, record_bytes, how);
    storing_ = true;
}

void Outbox::rested() {
    storing_ = false;
    if (moving_from_ != no_slot) {
        slots_[moving_from_] = acked | mark_ack;
        --waiting_;
    } else {
        --pending_;
        memmove(pending_records_[0], pending_records_[1],
                sizeof pending_records_ - sizeof pending_records_[0]);
    }
    slots_[store_slot_] = waiting_here | mark_cue | sound;
    marks_ = true;
    latest_ = store_slot_;
    ++waiting_;
    count_rested(store_kind_);
}

bool Outbox::write_mark(EepromWriter& writer, bool cue_seen) {
    if (!marks_) return false;
    marks_ = false;
    for (uint8_t slot = 0; slot < outbox_slots; ++slot) {
        if ((slots_[slot] & (mark_cue | mark_ack)) == 0) continue;
        marks_ = true;
        const bool ack = (slots_[slot] & mark_ack) != 0;
        if (!ack && !cue_seen) continue;
        const uint16_t at = static_cast<uint16_t>(address_of(slot) + (ack ? record_acked_at : record_cue_at));
        slots_[slot] &= static_cast<uint8_t>(~(ack ? mark_ack : mark_cue));
        const EepromWriter::Ticket ticket =
            writer.fill(at, 0x00, 1, Writing::every);  // a torn mark may read right just now
        if (ack) {
            acking_slot_ = slot;
            ack_ticket_ = ticket;
        }
        return true;
    }
    return false;
}

void Outbox::pump(EepromWriter& writer, bool cue_seen) {
    if (acking_slot_ != no_slot && writer.rests(ack_ticket_)) acking_slot_ = no_slot;
    if (storing_ && writer.rests(ticket_)) return rested();  // the caller begins the cue before the next call
    if (!writer.idle() || write_mark(writer, cue_seen)) return;
    if (pending_ == 0 || moving_from_ != no_slot || storing_) return;
    const uint8_t slot = next_free();
    if (slot == no_slot) return;
    store(writer, pending_records_[0], (slots_[slot] & sound) != 0 ? Writing::changed : Writing::every);
}

}  // namespace firmware
}  // namespace pairmark
