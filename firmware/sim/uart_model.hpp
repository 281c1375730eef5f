// A serial port of the chip as silicon has it, and the wire into it. Replaces the library's, whose receiver
// holds 64 bytes and never overruns, whose sent byte always takes 11 bit times, and which knows no parity.
#pragma once

#include <simavr/avr_uart.h>

#include <cstdint>
#include <deque>
#include <functional>

#include "firmware/sim/chip.hpp"

namespace pairmark::sim {

/// How a serial line is set, whichever end it is read from.
struct WireSettings {
    uint32_t baud = 0;      // bits a second, rounded down; 0 only before anybody has set it
    uint8_t data_bits = 8;  // 5 to 8
    char parity = 'N';      // N, E or O
    uint8_t stop_bits = 1;  // 1 or 2
    bool operator==(const WireSettings&) const = default;
};

/// Bit times that one byte takes on the wire, start bit included.
unsigned bits_a_byte(const WireSettings& settings);

/// The bits of UCSRnA. `overrun` on a byte: one before it was lost.
enum class WireFault : uint8_t { none = 0x00, framing = 0x10, overrun = 0x08, parity = 0x04 };

class UartModel {
  public:
    UartModel() = default;
    UartModel(const UartModel&) = delete;
    UartModel& operator=(const UartModel&) = delete;

    /// Takes the place of the library's serial port '0' to '3'. Once, before the first run.
    void attach(avr_t& chip, char name);

    /// Called when the last bit of a sent byte has left the chip.
    std::function<void(uint8_t)> on_sent;

    /// Puts a byte on the wire, behind those already waiting. It arrives a byte time after the one before.
    void feed(uint8_t byte, WireFault fault = WireFault::none);
    /// Bytes on the wire that have not yet reached the receiver.
    size_t on_wire() const { return wire_.size(); }

    /// What the chip's registers say now.
    WireSettings settings() const;
    /// Cycles of one byte at the chip's own settings.
    uint64_t byte_cycles() const;

    /// Sets the sending end by itself. Where it then differs from the chip's settings, bytes arrive damaged
    /// with a framing or parity error. Without it (baud 0) the sender always agrees with the chip.
    void set_sender(const WireSettings& sender) { sender_ = sender; }

    uint64_t overruns() const { return overruns_; }  // bytes that came while three were held: lost
    uint64_t unheard() const {
        return unheard_;
    }  // bytes that came while the receiver was off, or without power: lost
    uint64_t received() const { return received_; }  // bytes that the receiver took
    /// Cycles that a received byte had to wait at most until the firmware read it.
    uint64_t longest_wait() const { return longest_wait_; }
    uint64_t overwritten() const {
        return overwritten_;
    }  // bytes stored while the transmitter was full: lost

    void chip_reset();
    /// The supply went away: what is on the wire finds nobody.
    void cut();

  private:
    struct Held {
        uint8_t byte;
        uint8_t faults;
        uint64_t arrived;  // cycle
    };
    struct OnWire {
        uint8_t byte;
        WireFault fault;
    };
    static uint8_t on_data_read(avr_t*, avr_io_addr_t, void* self);
    static void on_data_write(avr_t*, avr_io_addr_t, uint8_t value, void* self);
    static uint8_t on_status_read(avr_t*, avr_io_addr_t, void* self);
    static void on_status_write(avr_t*, avr_io_addr_t, uint8_t value, void* self);
    static void on_control_write(avr_t*, avr_io_addr_t, uint8_t value, void* self);
    static void on_plain_write(avr_t*, avr_io_addr_t, uint8_t value, void* self);
    static avr_cycle_count_t on_arrival(avr_t*, avr_cycle_count_t when, void* self);
    static avr_cycle_count_t on_departure(avr_t*, avr_cycle_count_t when, void* self);
    static void on_handled(avr_irq_t*, uint32_t running, void* self);

    uint8_t& status() const { return chip_->data[port_->r_ucsra]; }
    uint8_t control() const { return chip_->data[port_->r_ucsrb]; }
    uint64_t wire_cycles() const;
    Held damage(OnWire sent) const;
    void arrive(OnWire sent);
    void show_head();
    void raise_pending();

    avr_t* chip_ = nullptr;
    avr_uart_t* port_ = nullptr;
    std::deque<OnWire> wire_;
    std::deque<Held> held_;
    WireSettings sender_;
    bool powered_ = false;
    bool shifting_ = false;  // a byte is leaving
    bool buffered_ = false;  // another waits behind it
    uint8_t shift_ = 0;
    uint8_t buffer_ = 0;
    uint64_t overruns_ = 0;
    uint64_t unheard_ = 0;
    uint64_t received_ = 0;
    uint64_t overwritten_ = 0;
    uint64_t longest_wait_ = 0;
};

}  // namespace pairmark::sim
