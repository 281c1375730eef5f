#include "firmware/core/eeprom_writer.hpp"

#include <string.h>

namespace pairmark {
namespace firmware {

EepromWriter::Ticket EepromWriter::begin(uint16_t at, uint8_t size, Writing how) {
    at_ = at;
    next_ = 0;
    left_ = size;
    how_ = how;
    last_byte_ = false;
    return ++started_;
}

EepromWriter::Ticket EepromWriter::write(uint16_t at, const uint8_t* bytes, uint8_t size, Writing how) {
    memcpy(bytes_, bytes, size);
    return begin(at, size, how);
}

EepromWriter::Ticket EepromWriter::fill(uint16_t at, uint8_t value, uint8_t size, Writing how) {
    memset(bytes_, value, size);
    return begin(at, size, how);
}

void EepromWriter::pump(Board& board) {
    if (idle() || !board.eeprom_ready()) return;
    while (left_ > 0) {
        const uint16_t at = static_cast<uint16_t>(at_ + next_);
        const uint8_t value = bytes_[next_];
        ++next_;
        --left_;
        if (how_ == Writing::every || board.read_eeprom(at) != value) {
            board.write_eeprom(at, value);
            last_byte_ = true;
            return;
        }
    }
    last_byte_ = false;
    finished_ = started_;
}

}  // namespace firmware
}  // namespace pairmark
