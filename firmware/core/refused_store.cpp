#include "firmware/core/refused_store.hpp"

#include <string.h>

#include "firmware/core/flash_text.hpp"
#include "protocol/crc32.hpp"

namespace pairmark {
namespace firmware {

using namespace layout;

namespace {
constexpr uint8_t bytes_at = 12;
constexpr uint8_t crc_at = 76;
}  // namespace

const char* words_of(Refusal refusal) {
    switch (refusal) {
        case Refusal::damaged_framing:
            return PAIRMARK_TEXT("framing_error");
        case Refusal::damaged_parity:
            return PAIRMARK_TEXT("parity_error");
        case Refusal::bytes_lost:
            return PAIRMARK_TEXT("bytes_lost");
        case Refusal::too_long:
            return PAIRMARK_TEXT("too_long");
        case Refusal::cut_short:
            return PAIRMARK_TEXT("cut_short");
        case Refusal::before_start:
            return PAIRMARK_TEXT("before_the_start_byte");
        case Refusal::no_profile:
            return PAIRMARK_TEXT("no_profile");
        case Refusal::no_id:
            return PAIRMARK_TEXT("no_id");
        case Refusal::memory_full:
            return PAIRMARK_TEXT("memory_full");
        case Refusal::too_fast:
            return PAIRMARK_TEXT("too_fast");
        case Refusal::no_numbers:
            return PAIRMARK_TEXT("no_numbers_left");
        default:
            return PAIRMARK_TEXT("not_understood");
    }
}

uint16_t RefusedStore::address_of(uint8_t slot) {
    return static_cast<uint16_t>(refused_at + slot * refused_size);
}

uint8_t RefusedStore::scan(const Board& board) {
    uint8_t torn = 0;
    bool any = false;
    uint8_t bytes[refused_size];
    for (uint8_t slot = 0; slot < refused_slots; ++slot) {
        const SlotRead found = read_slot(board, address_of(slot), bytes, refused_size);
        if (found == SlotRead::blank) continue;
        if (found == SlotRead::torn || get32(bytes + crc_at) != protocol::crc32(bytes, crc_at)) {
            torn_[slot] = true;
            ++torn;
            continue;
        }
        good_[slot] = true;
        const uint16_t sequence = get16(bytes);
        if (!any || static_cast<int16_t>(sequence - sequence_) > 0) {
            any = true;
            sequence_ = sequence;
            newest_ = slot;
        }
    }
    return torn;
}

bool RefusedStore::recover(EepromWriter& writer) {
    if (!writer.idle()) return false;
    for (uint8_t slot = 0; slot < refused_slots; ++slot) {
        if (!torn_[slot]) continue;
        writer.fill(address_of(slot), 0xFF, refused_size, Writing::every);
        torn_[slot] = false;
        sound_[slot] = true;
        return false;
    }
    return true;
}

void RefusedStore::keep(const RefusedHead& head, const uint8_t* bytes) {
    memset(image_, 0, refused_size);
    image_[2] = static_cast<uint8_t>(head.why);
    put16(image_ + 4, head.length);
    put16(image_ + 6, head.at);
    put32(image_ + 8, head.crc);
    memcpy(image_ + bytes_at, bytes, head.kept());
    waiting_ = true;
}

void RefusedStore::pump(EepromWriter& writer) {
    if (!waiting_ || !writer.idle()) return;
    newest_ = newest_ + 1 == refused_slots ? 0 : static_cast<uint8_t>(newest_ + 1);
    put16(image_, ++sequence_);
    put32(image_ + crc_at, protocol::crc32(image_, crc_at));
    writer.write(address_of(newest_), image_, refused_size,
                 sound_[newest_] ? Writing::changed : Writing::every);
    good_[newest_] = sound_[newest_] = true;
    waiting_ = false;
}

bool RefusedStore::read(const Board& board, uint8_t back, RefusedCapture& capture) const {
    if (back >= refused_slots) return false;
    const uint8_t slot = static_cast<uint8_t>((newest_ + refused_slots - back) % refused_slots);
    if (!good_[slot]) return false;
    uint8_t bytes[refused_size];
    read_bytes(board, address_of(slot), bytes, refused_size);
    capture.why = static_cast<Refusal>(bytes[2]);
    capture.length = get16(bytes + 4);
    capture.at = get16(bytes + 6);
    capture.crc = get32(bytes + 8);
    memcpy(capture.bytes, bytes + bytes_at, refused_kept);
    return get32(bytes + crc_at) == protocol::crc32(bytes, crc_at);
}

}  // namespace firmware
}  // namespace pairmark
