#include "firmware/core/flash_text.hpp"

namespace pairmark {
namespace firmware {

const char* ram_copy(const char* flash) {
    // Two in turn: a call often takes a key and a word.
    static char copies[2][12];
    static uint8_t turn = 0;
    turn ^= 1;
    char* copy = copies[turn];
    uint8_t i = 0;
    for (; i < sizeof copies[0] - 1 && flash_char(flash + i) != 0; ++i)
        copy[i] = flash_char(flash + i);
    copy[i] = 0;
    return copy;
}

}  // namespace firmware
}  // namespace pairmark
