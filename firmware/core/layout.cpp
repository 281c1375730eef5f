#include "firmware/core/layout.hpp"

namespace pairmark {
namespace firmware {

void read_bytes(const Board& board, uint16_t at, uint8_t* bytes, uint16_t size) {
    for (uint16_t i = 0; i < size; ++i)
        bytes[i] = board.read_eeprom(static_cast<uint16_t>(at + i));
}

SlotRead read_slot(const Board& board, uint16_t at, uint8_t* bytes, uint8_t size) {
    bool blank = true;
    read_bytes(board, at, bytes, size);
    for (uint8_t i = 0; i < size; ++i) {
        if (bytes[i] != 0xFF) blank = false;
        if (board.read_eeprom(static_cast<uint16_t>(at + i)) != bytes[i]) return SlotRead::torn;
    }
    return blank ? SlotRead::blank : SlotRead::same;
}

}  // namespace firmware
}  // namespace pairmark
