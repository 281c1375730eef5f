#include "firmware/core/settings.hpp"

#include <string.h>

#include "protocol/crc32.hpp"

namespace pairmark {
namespace firmware {
namespace {

using namespace layout;

constexpr uint8_t crc_at = 36;
enum : uint8_t { flag_id = 1, flag_store = 2 };

uint16_t address_of(uint8_t slot) {
    return static_cast<uint16_t>(settings_at + slot * settings_slot);
}

void pack(const SettingsValues& v, uint32_t sequence, uint8_t first_slot, uint8_t* b) {
    memset(b, 0, settings_size);
    b[0] = settings_version;
    b[1] = static_cast<uint8_t>((v.has_id ? flag_id : 0) | (v.has_store ? flag_store : 0));
    put16(b + 2, v.epoch);
    put32(b + 4, sequence);
    put16(b + 8, v.boot);
    b[10] = first_slot;
    memcpy(b + 12, v.id, 8);
    memcpy(b + 20, v.store, 8);
    put32(b + 28, v.acked_before);
    put32(b + 32, v.profile_sequence);
    put32(b + crc_at, protocol::crc32(b, crc_at));
}

void unpack(const uint8_t* b, SettingsValues& v) {
    v.has_id = (b[1] & flag_id) != 0;
    v.has_store = (b[1] & flag_store) != 0;
    v.epoch = get16(b + 2);
    v.boot = get16(b + 8);
    memcpy(v.id, b + 12, 8);
    memcpy(v.store, b + 20, 8);
    v.acked_before = get32(b + 28);
    v.profile_sequence = get32(b + 32);
}

}  // namespace

uint8_t Settings::load(const Board& board) {
    uint8_t torn = 0;
    bool good[2] = {false, false};
    bool blank[2] = {false, false};
    uint32_t sequence[2] = {0, 0};
    uint8_t first[2] = {0, 0};
    uint8_t bytes[settings_size];
    for (uint8_t slot = 0; slot < 2; ++slot) {
        const SlotRead found = read_slot(board, address_of(slot), bytes, settings_size);
        if (found == SlotRead::blank) {
            blank[slot] = true;
            continue;
        }
        if (found == SlotRead::torn || bytes[0] != settings_version || bytes[10] > 1 ||
            get32(bytes + crc_at) != protocol::crc32(bytes, crc_at)) {
            ++torn;
            continue;
        }
        good[slot] = true;
        sequence[slot] = get32(bytes + 4);
        first[slot] = bytes[10];
        if (slot == 0 || !good[0] || static_cast<int32_t>(sequence[1] - sequence[0]) > 0) {
            unpack(bytes, values_);
            sequence_ = sequence[slot];
            first_slot_ = first[slot];
        }
    }
    if (good[0] && good[1]) {
        if (sequence[0] == sequence[1]) {
            start_slot_ = first_slot_ == 0 ? 1 : 0;
        } else {
            start_slot_ = sequence_ == sequence[1] ? 1 : 0;
        }
    } else if (good[0]) {
        start_slot_ =
            blank[1] ? 0 : 1;  // a good slot beside a blank one was the first ever written: it may be torn
    } else if (good[1]) {
        start_slot_ = blank[0] ? 1 : 0;
    }
    both_torn_ = torn == 2;
    return torn;
}

void Settings::save(const SettingsValues& values, Writing how) {
    values_ = values;
    how_ = how;
    stage_ = Stage::wait_first;
}

void Settings::start(EepromWriter& writer, uint8_t slot, Writing how) {
    uint8_t bytes[settings_size];
    pack(values_, sequence_, first_slot_, bytes);
    ticket_ = writer.write(address_of(slot), bytes, settings_size, how);
}

void Settings::pump(EepromWriter& writer) {
    if (stage_ == Stage::rest) return;
    if (stage_ == Stage::first && writer.rests(ticket_)) stage_ = Stage::wait_second;
    if (stage_ == Stage::second && writer.rests(ticket_)) {
        stage_ = Stage::rest;
        start_slot_ = first_slot_ == 0 ? 1 : 0;
        return;
    }
    if (!writer.idle()) return;
    if (stage_ == Stage::wait_first) {
        first_slot_ = start_slot_;
        ++sequence_;
        start(writer, first_slot_, how_);
        stage_ = Stage::first;
    } else if (stage_ == Stage::wait_second) {
        start(writer, first_slot_ == 0 ? 1 : 0, both_torn_ ? how_ : Writing::changed);
        stage_ = Stage::second;
    }
}

}  // namespace firmware
}  // namespace pairmark
