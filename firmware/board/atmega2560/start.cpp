#include "firmware/board/atmega2560/start.hpp"

#include <avr/io.h>
#include <avr/wdt.h>

extern uint8_t __heap_start;
extern "C" void __cxa_pure_virtual() {
    for (;;) {  // never reached; the watchdog would end it
    }
}

namespace pairmark {
namespace firmware {
namespace start {

// Not cleared with the other variables, which happens after it is set.
uint8_t reset_flags __attribute__((section(".noinit")));

namespace {
constexpr uint8_t paint = 0xC5;

extern "C" void pairmark_before_main() __attribute__((naked, used, section(".init3")));
extern "C" void pairmark_before_main() {
    reset_flags = MCUSR;
    MCUSR = 0;
    wdt_disable();  // it stays on after its own reset, at its shortest time
    for (uint8_t* at = &__heap_start; at < reinterpret_cast<uint8_t*>(SP); ++at)
        *at = paint;
}
}  // namespace

uint16_t untouched() {
    const uint8_t* at = &__heap_start;
    const uint8_t* const end = reinterpret_cast<const uint8_t*>(RAMEND);
    while (at < end && *at == paint)
        ++at;
    return static_cast<uint16_t>(at - &__heap_start);
}

}  // namespace start
}  // namespace firmware
}  // namespace pairmark
