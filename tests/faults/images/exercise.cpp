// A small image of the board's own tests: it uses every part of the board in the plainest way, so that a test
// of the board does not depend on the adapter's firmware.
//
// Commands on UART0, one byte each; every other byte is echoed. Bytes from UART1 are copied to UART0.
//   W addr value  writes an EEPROM byte, waits, answers 'w'      R addr   answers the EEPROM byte
//   I count       writes bytes 0 to count-1 by the ready interrupt, answers 'i'
//   B / S         tone of 1 kHz / silence                        P        UART1 to 4800 baud, 7 data bits,
//   even parity D             interrupts masked for 2 ms, answers 'd'        O        answers the number of
//   overruns seen M             answers MCUSR as it was at the start           H        hangs with interrupts
//   off
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>
#include <avr/wdt.h>
#include <stdint.h>
#include <util/delay.h>

static uint8_t start_cause __attribute__((section(".noinit")));
static volatile uint8_t ring[256];
static volatile uint8_t ring_in, ring_out;
static volatile uint8_t overruns;
static volatile uint8_t next_cell, cells_to_write;

// Before main, as the watchdog stays on after a reset by it.
extern "C" void keep_cause() __attribute__((naked, used, section(".init3")));
extern "C" void keep_cause() {
    start_cause = MCUSR;
    MCUSR = 0;
    wdt_disable();
}

ISR(USART0_RX_vect) {
    if (UCSR0A & _BV(DOR0)) ++overruns;
    ring[ring_in++] = UDR0;
}
ISR(USART1_RX_vect) {
    const uint8_t byte = UDR1;
    while (!(UCSR0A & _BV(UDRE0))) {
    }
    UDR0 = byte;
}
ISR(TIMER0_COMPA_vect) {}
ISR(EE_READY_vect) {
    if (next_cell == cells_to_write) {
        EECR &= ~_BV(EERIE);
        return;
    }
    EEAR = next_cell;
    EEDR = next_cell ^ 0xA5;
    ++next_cell;
    EECR |= _BV(EEMPE);
    EECR |= _BV(EEPE);
}

static void say(uint8_t byte) {
    while (!(UCSR0A & _BV(UDRE0))) {
    }
    UDR0 = byte;
}

static bool take(uint8_t& byte) {
    if (ring_in == ring_out) return false;
    byte = ring[ring_out++];
    return true;
}

static uint8_t wait_for_byte() {
    uint8_t byte = 0;
    while (!take(byte)) {
    }
    return byte;
}

static void write_cell(uint16_t at, uint8_t value) {
    while (EECR & _BV(EEPE)) {
    }
    EEAR = at;
    EEDR = value;
    cli();
    EECR |= _BV(EEMPE);
    EECR |= _BV(EEPE);
    sei();
    while (EECR & _BV(EEPE)) {
    }
}

static uint8_t read_cell(uint16_t at) {
    EEAR = at;
    EECR |= _BV(EERE);
    return EEDR;
}

static void obey(uint8_t command) {
    switch (command) {
        case 'W': {
            const uint8_t at = wait_for_byte();
            write_cell(at, wait_for_byte());
            say('w');
            break;
        }
        case 'R':
            say(read_cell(wait_for_byte()));
            break;
        case 'I':
            next_cell = 0;
            cells_to_write = wait_for_byte();
            EECR |= _BV(EERIE);
            while (EECR & _BV(EERIE)) {
            }
            say('i');
            break;
        case 'B':
            OCR3A = 999;
            TCCR3A = _BV(COM3A0);
            TCCR3B = _BV(WGM32) | _BV(CS31);
            break;
        case 'S':
            TCCR3B = 0;
            break;
        case 'P':
            UBRR1 = 207;
            UCSR1C = _BV(UPM11) | _BV(UCSZ11);
            break;
        case 'D':
            cli();
            _delay_ms(2);
            sei();
            say('d');
            break;
        case 'O':
            say(overruns);
            break;
        case 'M':
            say(start_cause);
            break;
        case 'H':
            cli();
            for (;;) {
            }
        default:
            say(command);
    }
}

int main() {
    UCSR0A = _BV(U2X0);
    UBRR0 = 16;
    UCSR0C = _BV(UCSZ01) | _BV(UCSZ00);
    UCSR0B = _BV(RXEN0) | _BV(TXEN0) | _BV(RXCIE0);
    UBRR1 = 103;
    UCSR1C = _BV(UCSZ11) | _BV(UCSZ10);
    UCSR1B = _BV(RXEN1) | _BV(TXEN1) | _BV(RXCIE1);
    DDRA = 0xFF;
    DDRE = _BV(PE3);
    PORTK = 0x0F;
    TCCR0A = _BV(WGM01);
    OCR0A = 249;
    TIMSK0 = _BV(OCIE0A);
    TCCR0B = _BV(CS01) | _BV(CS00);  // 1 kHz
    wdt_enable(WDTO_250MS);
    sei();
    for (;;) {
        wdt_reset();
        PORTA = static_cast<uint8_t>(~PINK & 0x0F);
        uint8_t command = 0;
        while (take(command))
            obey(command);
        set_sleep_mode(SLEEP_MODE_IDLE);
        sleep_mode();
    }
}
