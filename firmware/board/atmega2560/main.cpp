// The ATmega2560 at 16 MHz: registers behind the core's board, and the main loop. See
// firmware/hardware/README.md for pins.
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>
#include <avr/wdt.h>
#include <util/atomic.h>

#include "firmware/board/atmega2560/serial.hpp"
#include "firmware/board/atmega2560/start.hpp"
#include "firmware/core/adapter.hpp"

namespace pairmark {
namespace firmware {
namespace {

volatile uint32_t milliseconds = 0;

class Atmega2560 final : public Board {
  public:
    void begin() {
        DDRA = 0xFF;
        PORTA = 0;
        DDRE |= _BV(PE3);
        DDRK = 0;
        PORTK = 0x0F;  // pull-ups: a key pulls its pin low
        // 1 kHz from timer 0: 16 MHz / 64 / 250.
        TCCR0A = _BV(WGM01);
        TCCR0B = _BV(CS01) | _BV(CS00);
        OCR0A = 249;
        TIMSK0 = _BV(OCIE0A);
        serial::begin();
    }

    const char* name() const override { return "atmega2560"; }

    ResetCause reset_cause() const override {
        // The watchdog first: its flag alone is never left over from an earlier start.
        if ((start::reset_flags & _BV(WDRF)) != 0) return ResetCause::watchdog;
        if ((start::reset_flags & _BV(PORF)) != 0) return ResetCause::power;
        if ((start::reset_flags & _BV(BORF)) != 0) return ResetCause::brown_out;
        if ((start::reset_flags & _BV(EXTRF)) != 0) return ResetCause::pin;
        return ResetCause::unknown;
    }

    uint32_t now_ms() const override {
        uint32_t now = 0;
        ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
            now = milliseconds;
        }
        return now;
    }

    bool take_host(uint8_t& byte) override { return serial::take_host(byte); }
    uint16_t host_buffer() const override { return serial::host_buffer; }
    uint16_t host_room() const override { return serial::host_room(); }
    void send_host(const char* bytes, uint16_t size) override { serial::send_host(bytes, size); }
    bool take_instrument(InstrumentByte& byte) override { return serial::take_instrument(byte); }
    void set_instrument(const protocol::SerialSettings& settings) override {
        serial::set_instrument(settings);
    }

    bool eeprom_ready() const override { return (EECR & _BV(EEPE)) == 0; }

    uint8_t read_eeprom(uint16_t at) const override {
        EEAR = at;
        EECR |= _BV(EERE);
        return EEDR;
    }

    void write_eeprom(uint16_t at, uint8_t value) override {
        EEAR = at;
        EEDR = value;
        ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {  // EEPE must follow EEMPE within four cycles
            EECR = _BV(EEMPE);
            EECR |= _BV(EEPE);
        }
        EECR |= _BV(EERIE);  // only to wake the main loop when the byte rests
    }

    void set_lamps(uint8_t lamps) override { PORTA = lamps; }

    void set_tone(uint16_t hz) override {
        if (hz < 20) {
            TCCR3A = 0;
            TCCR3B = 0;
            PORTE &= static_cast<uint8_t>(~_BV(PE3));
            return;
        }
        OCR3A = static_cast<uint16_t>(F_CPU / 16 / hz - 1);  // clock / 8, two toggles a period
        TCNT3 = 0;
        TCCR3A = _BV(COM3A0);
        TCCR3B = _BV(WGM32) | _BV(CS31);
    }

    uint8_t keys() const override { return static_cast<uint8_t>(~PINK) & 0x0F; }
    uint16_t stack_left() const override { return start::untouched(); }
};

Atmega2560 board;
Adapter adapter(board);

}  // namespace
}  // namespace firmware
}  // namespace pairmark

using namespace pairmark::firmware;

ISR(TIMER0_COMPA_vect) {
    ++milliseconds;
    if (--rest == 0) work = 1;
}

ISR(EE_READY_vect) {
    EECR &= static_cast<uint8_t>(~_BV(EERIE));  // it is a level: it would come again at once
    work = 1;
}

int main() {
    board.begin();
    set_sleep_mode(SLEEP_MODE_IDLE);
    wdt_enable(WDTO_1S);
    sei();
    // A write goes on through a reset, and what is read meanwhile is not what is stored.
    while (!board.eeprom_ready()) {
    }
    adapter.start();
    uint8_t moved = 0;
    for (;;) {
        // Fed only if everything that is waited for has moved since: a memory that never gets ready or a port
        // that never sends would otherwise be waited for in a loop that looks healthy.
        if (board.eeprom_ready()) moved |= 1;
        if (serial::has_moved()) moved |= 2;
        if (moved == 3) {
            wdt_reset();
            moved = 0;
        }
        work = 0;
        rest = Adapter::rest_ms;  // before the step: a byte that comes while it lasts makes it 1
        if (adapter.step()) continue;
        if (adapter.busy()) rest = 1;
        cli();
        while (work == 0) {
            sleep_enable();
            sei();  // takes effect after the next instruction, so no interrupt slips in before the sleep
            sleep_cpu();
            sleep_disable();
            cli();
        }
        sei();
    }
}
