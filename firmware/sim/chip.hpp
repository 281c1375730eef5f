// The ATmega2560 as the simulator library gives it: register addresses, and replacing what a register does.
//
// Licence: this folder calls libsimavr, which is under the GNU General Public License, version 3. A program
// linked with it is GPL-3 as a whole; such programs are used for tests and for the demo only and are never
// shipped.
#pragma once

#include <simavr/sim_avr.h>

#include <cstdint>

namespace pairmark::sim {

constexpr uint32_t clock_hz = 16'000'000;
constexpr uint64_t cycles_per_us = clock_hz / 1'000'000;

/// Addresses in data space (source: ATmega640/1280/1281/2560/2561 data sheet, register summary).
enum Register : uint16_t {
    pin_a = 0x20,
    ddr_a = 0x21,
    port_a = 0x22,
    ddr_e = 0x2D,
    eecr = 0x3F,
    eedr = 0x40,
    eear_low = 0x41,
    eear_high = 0x42,
    mcusr = 0x54,
    tccr3_a = 0x90,
    tccr3_b = 0x91,
    ocr3a_low = 0x98,
    ocr3a_high = 0x99,
    pin_k = 0x106,
};

/// Bits of MCUSR: why the chip started.
enum class ResetCause : uint8_t { power = 0x01, pin = 0x02, brown_out = 0x04, watchdog = 0x08 };

/// What a register did before it was replaced, to call on.
struct WriteHandler {
    avr_io_write_t call = nullptr;
    void* param = nullptr;
};

/// Makes `write` the one thing that a store to `address` does, and gives what it did before. `write` has to
/// store the byte itself. `param` must outlive the chip.
WriteHandler replace_write(avr_t& chip, uint16_t address, avr_io_write_t write, void* param);

/// The same for loads.
void replace_read(avr_t& chip, uint16_t address, avr_io_read_t read, void* param);

/// Goes through the chip's modules for the one of that kind (and, for serial ports, that name). Throws
/// std::logic_error if the library has none: then this is not the chip that the board is built around.
avr_io_t& find_module(avr_t& chip, const char* kind, char name = 0);

/// Appends a module whose `reset` is called after all others at any reset, whatever caused it.
void append_module(avr_t& chip, avr_io_t& module);

/// Calls `again` whenever a handler of `vector` has ended: what a level-triggered interrupt needs to fire
/// again.
void when_handled(avr_int_vector_t& vector, avr_irq_notify_t again, void* param);

}  // namespace pairmark::sim
