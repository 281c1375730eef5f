#include "firmware/board/native/native_board.hpp"

#include <stdexcept>

namespace pairmark::firmware {

std::uint32_t NativeEeprom::next_random() {
    state_ ^= state_ << 13;  // Marsaglia, xorshift32
    state_ ^= state_ >> 17;
    state_ ^= state_ << 5;
    return state_;
}

std::uint8_t NativeEeprom::read(std::uint16_t at) {
    const auto torn = torn_.find(at);
    if (torn == torn_.end()) return cells_[at];
    const std::uint32_t choice = next_random();
    switch (choice & 3) {
        case 0:
            return cells_[at];
        case 1:
            return torn->second;
        case 2:
            return 0xFF;
        default: {
            const auto mask = static_cast<std::uint8_t>(choice >> 8);
            return static_cast<std::uint8_t>((cells_[at] & mask) | (torn->second & ~mask));
        }
    }
}

void NativeEeprom::write(std::uint16_t at, std::uint8_t value) {
    cells_[at] = value;
    torn_.erase(at);
    ++wear_[at];
}

void NativeEeprom::tear(std::uint16_t at, std::uint8_t value) {
    torn_[at] = value;
    ++wear_[at];
}

std::string NativeBoard::host_reads() {
    std::string said;
    said.swap(host_out_);
    return said;
}

void NativeBoard::instrument_writes(std::string_view bytes, std::uint8_t faults) {
    for (const char byte : bytes)
        instrument_in_.push_back({static_cast<std::uint8_t>(byte), faults});
}

bool NativeBoard::take_host(std::uint8_t& byte) {
    if (host_in_.empty()) return false;
    byte = host_in_.front();
    host_in_.pop_front();
    return true;
}

void NativeBoard::send_host(const char* bytes, std::uint16_t size) {
    if (!dead_) host_out_.append(bytes, size);
}

bool NativeBoard::take_instrument(InstrumentByte& byte) {
    if (!instrument_settings_ || instrument_in_.empty()) return false;
    byte = instrument_in_.front();
    instrument_in_.pop_front();
    return true;
}

void NativeBoard::settle() const {
    if (!writing_ || now_ - writing_->since < write_ms_) return;
    eeprom_.write(writing_->at, writing_->value);
    writing_.reset();
}

bool NativeBoard::eeprom_ready() const {
    if (dead_) return false;
    settle();
    return !writing_;
}

std::uint8_t NativeBoard::read_eeprom(std::uint16_t at) const {
    if (!eeprom_ready()) throw std::logic_error("the memory was read while it was writing");
    if (at >= NativeEeprom::size) throw std::logic_error("the memory was read behind its end");
    return eeprom_.read(at);
}

void NativeBoard::write_eeprom(std::uint16_t at, std::uint8_t value) {
    if (!eeprom_ready()) throw std::logic_error("the memory was written while it was writing");
    if (at >= NativeEeprom::size) throw std::logic_error("the memory was written behind its end");
    if (cut_at_ && writes_ == *cut_at_) {
        if (cut_finished_) {
            eeprom_.write(at, value);
        } else {
            eeprom_.tear(at, value);
        }
        ++writes_;
        dead_ = true;
        return;
    }
    ++writes_;
    writing_ = Write{at, value, now_};
    settle();
}

void NativeBoard::cut_now() {
    settle();
    if (writing_) eeprom_.tear(writing_->at, writing_->value);
    writing_.reset();
    dead_ = true;
}

}  // namespace pairmark::firmware
