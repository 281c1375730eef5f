#include "firmware/board/atmega2560/serial.hpp"

#include <avr/interrupt.h>
#include <avr/io.h>

namespace pairmark {
namespace firmware {

volatile uint8_t work = 0;
volatile uint8_t rest = 1;

namespace serial {
namespace {

// Rings of 256 bytes: an 8-bit index wraps by itself, and reading one is a single instruction. One place
// stays empty.
uint8_t host_in[256];
volatile uint8_t host_in_head = 0;
volatile uint8_t host_in_tail = 0;

uint8_t host_out[256];
volatile uint8_t host_out_head = 0;
volatile uint8_t host_out_tail = 0;

constexpr uint8_t instrument_mask = 127;
uint8_t instrument_in[instrument_mask + 1];
uint8_t instrument_faulty[(instrument_mask + 1) / 8];  // a bit a byte: something was wrong with it
volatile uint8_t instrument_fault_kinds = 0;           // what, of all faulty bytes in the ring together
volatile uint8_t instrument_head = 0;
volatile uint8_t instrument_tail = 0;
uint8_t lost = 0;  // bytes were lost before the next one; only the interrupt touches it

struct Divider {
    uint16_t value;
    bool doubled;
};

/// The divider whose rate lies nearest to `baud` (data sheet, "baud rate generation"). Double speed has every
/// divider that plain speed has and those between; plain speed samples more often, so it is taken where it
/// gives the same rate.
Divider divider_for(uint32_t baud) {
    const uint16_t doubled = static_cast<uint16_t>((F_CPU / 4 / baud + 1) / 2);
    if (doubled % 2 == 0) return {static_cast<uint16_t>(doubled / 2 - 1), false};
    return {static_cast<uint16_t>(doubled - 1), true};
}

}  // namespace

void begin() {
    const Divider divider = divider_for(115200);
    UBRR0 = divider.value;
    UCSR0A = divider.doubled ? _BV(U2X0) : 0;
    UCSR0C = _BV(UCSZ01) | _BV(UCSZ00);
    UCSR0B = _BV(RXEN0) | _BV(TXEN0) | _BV(RXCIE0);
}

void set_instrument(const protocol::SerialSettings& settings) {
    UCSR1B = 0;
    const Divider divider = divider_for(settings.baud);
    UBRR1 = divider.value;
    UCSR1A = divider.doubled ? _BV(U2X1) : 0;
    uint8_t frame = settings.data_bits == 7 ? _BV(UCSZ11) : _BV(UCSZ11) | _BV(UCSZ10);
    if (settings.parity == 'E') frame |= _BV(UPM11);
    if (settings.parity == 'O') frame |= _BV(UPM11) | _BV(UPM10);
    if (settings.stop_bits == 2) frame |= _BV(USBS1);
    UCSR1C = frame;
    instrument_tail = instrument_head;
    lost = 0;
    UCSR1B = _BV(RXEN1) | _BV(TXEN1) | _BV(RXCIE1);
}

bool take_host(uint8_t& byte) {
    const uint8_t tail = host_in_tail;
    if (tail == host_in_head) return false;
    byte = host_in[tail];
    host_in_tail = static_cast<uint8_t>(tail + 1);
    return true;
}

bool has_moved() {
    static uint8_t seen = 0;
    const uint8_t tail = host_out_tail;
    const bool moved = tail != seen || tail == host_out_head;
    seen = tail;
    return moved;
}

uint16_t host_room() {
    return static_cast<uint8_t>(host_out_tail - host_out_head - 1);
}

void send_host(const char* bytes, uint16_t size) {
    for (uint16_t i = 0; i < size; ++i) {
        const uint8_t head = host_out_head;
        host_out[head] = static_cast<uint8_t>(bytes[i]);
        host_out_head = static_cast<uint8_t>(head + 1);
    }
    if (size > 0) UCSR0B |= _BV(UDRIE0);
}

bool take_instrument(InstrumentByte& byte) {
    const uint8_t tail = instrument_tail;
    if (tail == instrument_head) return false;
    byte.value = instrument_in[tail];
    byte.faults = 0;
    if ((instrument_faulty[tail / 8] & _BV(tail % 8)) != 0) {
        // A later byte's fault may be told with this one: both lie in captures that are refused, or in the
        // same.
        byte.faults = instrument_fault_kinds;
    }
    instrument_tail = (tail + 1) & instrument_mask;
    return true;
}

}  // namespace serial
}  // namespace firmware
}  // namespace pairmark

using namespace pairmark::firmware;
using namespace pairmark::firmware::serial;

ISR(USART0_RX_vect) {
    const uint8_t byte = UDR0;
    const uint8_t next = static_cast<uint8_t>(host_in_head + 1);
    if (next == host_in_tail) return;
    host_in[host_in_head] = byte;
    host_in_head = next;
    rest = 1;
    if (byte == '\n') work = 1;  // other bytes wait for the next millisecond
}

ISR(USART0_UDRE_vect) {
    const uint8_t tail = host_out_tail;
    if (tail == host_out_head) {
        UCSR0B &= static_cast<uint8_t>(~_BV(UDRIE0));
        return;
    }
    UDR0 = host_out[tail];
    host_out_tail = static_cast<uint8_t>(tail + 1);
}

ISR(USART1_RX_vect) {
    const uint8_t status = UCSR1A;  // before the data register: reading that moves on to the next byte
    const uint8_t byte = UDR1;
    uint8_t faults = lost;
    if ((status & _BV(FE1)) != 0) faults |= fault_framing;
    if ((status & _BV(UPE1)) != 0) faults |= fault_parity;
    if ((status & _BV(DOR1)) != 0) faults |= fault_overrun;
    const uint8_t head = instrument_head;
    const uint8_t next = (head + 1) & instrument_mask;
    if (next == instrument_tail) {
        lost = fault_overrun;
        return;
    }
    lost = 0;
    instrument_in[head] = byte;
    const uint8_t bit = static_cast<uint8_t>(1U << (head & 7));
    if (faults != 0) {
        instrument_faulty[head / 8] |= bit;
        instrument_fault_kinds =
            head == instrument_tail ? faults : static_cast<uint8_t>(instrument_fault_kinds | faults);
    } else {
        instrument_faulty[head / 8] &= static_cast<uint8_t>(~bit);
    }
    instrument_head = next;
    rest = 1;
}
