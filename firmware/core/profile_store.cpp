#include "firmware/core/profile_store.hpp"

#include <string.h>

#include "protocol/crc32.hpp"

namespace pairmark {
namespace firmware {

using namespace layout;

void ProfileStore::pack_header(uint8_t* header, uint32_t sequence, uint16_t length) const {
    put32(header, sequence);
    put16(header + 4, length);
    put16(header + 6, 0);
    put32(header + profile_crc_at, protocol::crc32(body_, length, protocol::crc32(header + 4, 2)));
}

uint16_t ProfileStore::address_of(uint8_t slot) {
    return static_cast<uint16_t>(profile_at + slot * profile_slot);
}

ProfileStore::Slot ProfileStore::look_at(const Board& board, uint8_t slot, uint32_t& sequence,
                                         uint16_t& length) {
    uint8_t header[profile_header];
    const SlotRead found = read_slot(board, address_of(slot), header, profile_header);
    if (found == SlotRead::blank) return Slot::blank;
    if (found == SlotRead::torn) return Slot::torn;
    sequence = get32(header);
    length = get16(header + 4);
    if (length == 0 || length > protocol::max_profile || sequence == 0) return Slot::torn;
    read_bytes(board, static_cast<uint16_t>(address_of(slot) + profile_header), body_, length);
    const uint32_t crc = protocol::crc32(body_, length, protocol::crc32(header + 4, 2));
    return crc == get32(header + profile_crc_at) ? Slot::good : Slot::torn;
}

bool ProfileStore::load(const Board& board, uint8_t slot, uint16_t length) {
    read_bytes(board, static_cast<uint16_t>(address_of(slot) + profile_header), body_, length);
    size_t at = 0;
    return profile_.open(body_, length, why_, at);
}

uint8_t ProfileStore::scan(const Board& board, uint32_t in_force) {
    uint8_t torn = 0;
    for (uint8_t slot = 0; slot < 2; ++slot) {
        uint32_t sequence = 0;
        uint16_t length = 0;
        const Slot found = look_at(board, slot, sequence, length);
        torn_[slot] = found == Slot::torn;
        header_blank_[slot] = found == Slot::blank;
        if (found == Slot::torn) ++torn;
        if (found == Slot::good && sequence > sequence_) {
            sequence_ = sequence;
            length_ = length;
            slot_ = slot;
        }
    }
    confirm_ = sequence_ != 0 && sequence_ != in_force;
    if (sequence_ != 0 && !load(board, slot_, length_)) profile_ = protocol::Profile();
    return torn;
}

bool ProfileStore::recover(EepromWriter& writer, Settings& settings) {
    if (!writer.idle() || !settings.rests()) return false;
    for (uint8_t slot = 0; slot < 2; ++slot) {
        if (!torn_[slot]) continue;
        writer.fill(address_of(slot), 0xFF, profile_header, Writing::every);
        torn_[slot] = false;
        header_blank_[slot] = true;
        return false;
    }
    if (!confirm_) return true;
    if (mending_ == 0) {
        uint8_t bytes[profile_header];
        pack_header(bytes, sequence_, length_);
        writer.write(static_cast<uint16_t>(address_of(slot_) + profile_crc_at), bytes + profile_crc_at, 4,
                     Writing::every);
        mending_ = 1;
        return false;
    }
    SettingsValues values = settings.values();
    values.profile_sequence = sequence_;
    settings.save(values);
    confirm_ = false;
    return false;
}

ProfileStore::Answer ProfileStore::part(uint32_t at, uint32_t of, const uint8_t* bytes, uint8_t size) {
    if (of == 0 || of > protocol::max_profile || size == 0 || size > profile_piece || at > of ||
        size > of - at) {
        return Answer::too_big;
    }
    if (stage_ != Stage::rest) return Answer::busy;
    if (at == 0) {
        upload_at_ = 0;
        upload_of_ = static_cast<uint16_t>(of);
    } else if (of != upload_of_) {
        return Answer::out_of_order;
    }
    if (at + size == upload_at_ && at == piece_at_ && size == piece_size_ &&
        memcmp(piece_, bytes, size) == 0) {
        return Answer::took;  // our TOOK was lost
    }
    if (at != upload_at_) return Answer::out_of_order;
    memcpy(piece_, bytes, size);
    piece_size_ = size;
    piece_at_ = static_cast<uint16_t>(at);
    stage_ = header_blank_[1 - slot_] ? Stage::piece : Stage::blank_crc;
    started_ = false;
    return Answer::later;
}

ProfileStore::Answer ProfileStore::commit(const Board& board, uint32_t length, uint32_t crc) {
    if (stage_ != Stage::rest) return Answer::busy;
    if (upload_of_ == 0 && profile_.is_open() && length == length_ && crc == profile_.crc()) {
        return Answer::done;  // our DONE was lost
    }
    if (upload_of_ == 0 || upload_at_ != upload_of_ || length != upload_of_) return Answer::incomplete;
    const uint8_t target = static_cast<uint8_t>(1 - slot_);
    const bool well_formed = load(board, target, upload_of_);
    const bool right = protocol::crc32(body_, upload_of_) == crc;
    if (!right || !well_formed) {
        const char* why = why_;
        if (sequence_ == 0 || !load(board, slot_, length_)) profile_ = protocol::Profile();
        why_ = why;
        forget_upload();
        return right ? Answer::bad_form : Answer::wrong_crc;
    }
    stage_ = Stage::commit;
    started_ = false;
    return Answer::later;
}

bool ProfileStore::take_answer(Answer& answer, uint16_t& at) {
    if (answer_ == Answer::later) return false;
    answer = answer_;
    at = answer_at_;
    answer_ = Answer::later;
    return true;
}

void ProfileStore::forget_upload() {
    if (switching()) return;
    upload_at_ = upload_of_ = 0;
    piece_size_ = 0;
}

void ProfileStore::pump(EepromWriter& writer, Settings& settings) {
    if (stage_ == Stage::rest) return;
    const uint8_t target = static_cast<uint8_t>(1 - slot_);
    if (stage_ == Stage::name_it) {
        if (!settings.rests()) return;
        stage_ = Stage::rest;
        answer_ = Answer::done;
        return;
    }
    if (!started_) {
        if (!writer.idle()) return;
        const uint16_t at = address_of(target);
        uint8_t header[profile_header];
        switch (stage_) {
            case Stage::blank_crc:  // the check sum first: without it the old profile there is no longer one
                ticket_ = writer.fill(static_cast<uint16_t>(at + profile_crc_at), 0xFF, 4, Writing::every);
                break;
            case Stage::blank_rest:
                ticket_ = writer.fill(at, 0xFF, profile_crc_at, Writing::every);
                break;
            case Stage::piece:
                // Every byte: an upload that was cut may have left one that reads right only just now.
                ticket_ = writer.write(static_cast<uint16_t>(at + profile_header + piece_at_), piece_,
                                       piece_size_, Writing::every);
                break;
            default:
                pack_header(header, sequence_ + 1, upload_of_);
                header_blank_[target] = false;
                ticket_ = writer.write(at, header, profile_header, Writing::every);
                break;
        }
        started_ = true;
        return;
    }
    if (!writer.rests(ticket_)) return;
    started_ = false;
    switch (stage_) {
        case Stage::blank_crc:
            stage_ = Stage::blank_rest;
            break;
        case Stage::blank_rest:
            header_blank_[target] = true;
            stage_ = Stage::piece;
            break;
        case Stage::piece:
            stage_ = Stage::rest;
            upload_at_ = static_cast<uint16_t>(upload_at_ + piece_size_);
            answer_ = Answer::took;
            answer_at_ = piece_at_;
            break;
        default: {
            slot_ = target;
            ++sequence_;
            length_ = upload_of_;
            stage_ = Stage::rest;
            forget_upload();
            stage_ = Stage::name_it;
            SettingsValues values = settings.values();
            values.profile_sequence = sequence_;
            settings.save(values);
            break;
        }
    }
}

}  // namespace firmware
}  // namespace pairmark
