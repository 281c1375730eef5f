// The two serial ports, interrupt-driven. The interrupt does the least: one byte between the data register
// and a ring. Host (UART0): 115200 8N1. A byte that finds the ring full is dropped; the line's check sum then
// tells. Instrument (UART1): set by the profile, receive only. Each byte carries what the receiver said about
// it.
#pragma once

#include <stdint.h>

#include "firmware/core/board.hpp"

namespace pairmark {
namespace firmware {
namespace serial {

constexpr uint16_t host_buffer = 255;

void begin();
void set_instrument(const protocol::SerialSettings& settings);

bool take_host(uint8_t& byte);
/// The host port has sent a byte since the last call, or has none to send.
bool has_moved();
uint16_t host_room();
void send_host(const char* bytes, uint16_t size);
bool take_instrument(InstrumentByte& byte);

}  // namespace serial

/// Set by an interrupt that gives the main loop something to do.
extern volatile uint8_t work;

/// Ticks of a millisecond until the main loop has something to do even if nothing happens.
extern volatile uint8_t rest;

}  // namespace firmware
}  // namespace pairmark
