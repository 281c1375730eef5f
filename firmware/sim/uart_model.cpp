#include "firmware/sim/uart_model.hpp"

#include <algorithm>

namespace pairmark::sim {
namespace {
enum Status : uint8_t {
    receive_complete = 0x80,
    transmit_complete = 0x40,
    data_empty = 0x20,
    overrun = 0x08,
    double_speed = 0x02,
    many_processors = 0x01,
};
enum Control : uint8_t {
    receive_interrupt = 0x80,
    transmit_interrupt = 0x40,
    empty_interrupt = 0x20,
    receiver_on = 0x10,
    transmitter_on = 0x08,
};
constexpr size_t receiver_holds =
    3;  // two in the buffer and one in the shift register (data sheet, "Receiver Error Flags")

/// A receiver samples mid-bit, so about half a bit in ten may be lost; both ends together stay within 4 %
/// (data sheet, table of recommended maximum error: 8N1 at normal speed -3.83 % to +3.78 %).
bool hears(uint32_t ours, uint32_t theirs) {
    const uint64_t difference = ours > theirs ? ours - theirs : theirs - ours;
    return difference * 100 <= 4ull * ours;
}
}  // namespace

unsigned bits_a_byte(const WireSettings& settings) {
    return 1u + settings.data_bits + (settings.parity == 'N' ? 0u : 1u) + settings.stop_bits;
}

void UartModel::attach(avr_t& chip, char name) {
    chip_ = &chip;
    port_ = reinterpret_cast<avr_uart_t*>(&find_module(chip, "uart", name));
    // The library prints sent text through a buffer that it overruns after 255 bytes without a line end.
    port_->flags = 0;
    replace_read(chip, port_->r_udr, on_data_read, this);
    replace_write(chip, port_->r_udr, on_data_write, this);
    replace_read(chip, port_->r_ucsra, on_status_read, this);
    replace_write(chip, port_->r_ucsra, on_status_write, this);
    replace_write(chip, port_->r_ucsrb, on_control_write, this);
    replace_write(chip, port_->r_ucsrc, on_plain_write, this);
    replace_write(chip, port_->ubrrl.reg, on_plain_write, this);
    replace_write(chip, port_->ubrrh.reg, on_plain_write, this);
    for (avr_int_vector_t* vector : {&port_->rxc, &port_->txc, &port_->udrc})
        when_handled(*vector, on_handled, this);
}

WireSettings UartModel::settings() const {
    const uint8_t frame = chip_->data[port_->r_ucsrc];
    const unsigned divisor = chip_->data[port_->ubrrl.reg] | ((chip_->data[port_->ubrrh.reg] & 0x0Fu) << 8);
    const unsigned samples = (status() & double_speed) ? 8 : 16;
    WireSettings now;
    now.baud = clock_hz / (samples * (divisor + 1));
    now.data_bits = static_cast<uint8_t>(5 + ((frame >> 1) & 3));
    now.parity = (frame & 0x20) == 0 ? 'N' : (frame & 0x10) ? 'O' : 'E';
    now.stop_bits = (frame & 0x08) ? 2 : 1;
    return now;
}

uint64_t UartModel::byte_cycles() const {
    const unsigned divisor = chip_->data[port_->ubrrl.reg] | ((chip_->data[port_->ubrrh.reg] & 0x0Fu) << 8);
    return uint64_t{(status() & double_speed) ? 8u : 16u} * (divisor + 1) * bits_a_byte(settings());
}

uint64_t UartModel::wire_cycles() const {
    if ((control() & receiver_on) == 0)  // nobody has set the speed yet; any would do, but not an unreal one
        return clock_hz / 115200 * 10;
    if (sender_.baud == 0) return byte_cycles();
    return uint64_t{clock_hz} * bits_a_byte(sender_) / sender_.baud;
}

void UartModel::feed(uint8_t byte, WireFault fault) {
    if (!powered_) {
        ++unheard_;
        return;
    }
    const bool idle = wire_.empty();
    wire_.push_back({byte, fault});
    if (idle) avr_cycle_timer_register(chip_, wire_cycles(), on_arrival, this);
}

avr_cycle_count_t UartModel::on_arrival(avr_t*, avr_cycle_count_t when, void* self) {
    auto& uart = *static_cast<UartModel*>(self);
    const OnWire sent = uart.wire_.front();
    uart.wire_.pop_front();
    uart.arrive(sent);
    return uart.wire_.empty() ? 0 : when + uart.wire_cycles();
}

UartModel::Held UartModel::damage(OnWire sent) const {
    const WireSettings ours = settings();
    const auto mask = static_cast<uint8_t>(0xFFu >> (8 - ours.data_bits));
    auto faults = static_cast<uint8_t>(sent.fault);
    if (sender_.baud != 0 && !hears(ours.baud, sender_.baud))
        return {static_cast<uint8_t>((sent.byte ^ 0x5A) & mask), static_cast<uint8_t>(WireFault::framing),
                chip_->cycle};
    if (sender_.baud != 0 && bits_a_byte(sender_) != bits_a_byte(ours))
        faults |= static_cast<uint8_t>(WireFault::framing);
    else if (sender_.baud != 0 && sender_.parity != ours.parity && ours.parity != 'N')
        faults |= static_cast<uint8_t>(WireFault::parity);
    return {static_cast<uint8_t>(sent.byte & mask), faults, chip_->cycle};
}

void UartModel::arrive(OnWire sent) {
    if ((control() & receiver_on) == 0) {
        ++unheard_;
        return;
    }
    if (held_.size() >= receiver_holds) {
        ++overruns_;
        status() |= overrun;
        return;
    }
    held_.push_back(damage(sent));
    ++received_;
    show_head();
    raise_pending();
}

/// The error bits belong to the byte that a read would give next; the overrun bit stays until a read.
void UartModel::show_head() {
    uint8_t now = status() & static_cast<uint8_t>(~(receive_complete | 0x10 | 0x04));
    if (!held_.empty()) now |= static_cast<uint8_t>(receive_complete | held_.front().faults);
    status() = now;
}

void UartModel::raise_pending() {
    const uint8_t flags = status();
    const uint8_t enabled = control();
    if ((flags & receive_complete) && (enabled & receive_interrupt)) avr_raise_interrupt(chip_, &port_->rxc);
    if ((flags & data_empty) && (enabled & empty_interrupt)) avr_raise_interrupt(chip_, &port_->udrc);
}

uint8_t UartModel::on_data_read(avr_t* chip, avr_io_addr_t address, void* self) {
    auto& uart = *static_cast<UartModel*>(self);
    uint8_t value = 0;
    if (!uart.held_.empty()) {
        value = uart.held_.front().byte;
        uart.longest_wait_ = std::max<uint64_t>(uart.longest_wait_, chip->cycle - uart.held_.front().arrived);
        uart.held_.pop_front();
    }
    uart.status() &= static_cast<uint8_t>(~overrun);
    uart.show_head();
    if (uart.held_.empty()) uart.port_->rxc.pending = 0;
    chip->data[address] = value;
    return value;
}

void UartModel::on_data_write(avr_t* chip, avr_io_addr_t, uint8_t value, void* self) {
    auto& uart = *static_cast<UartModel*>(self);
    if ((uart.control() & transmitter_on) == 0) return;
    if (!uart.shifting_) {
        uart.shifting_ = true;
        uart.shift_ = value;
        uart.port_->txc.pending = 0;
        avr_cycle_timer_register(chip, uart.byte_cycles(), on_departure, self);
    } else if (!uart.buffered_) {
        uart.buffered_ = true;
        uart.buffer_ = value;
        uart.status() &= static_cast<uint8_t>(~data_empty);
        uart.port_->udrc.pending = 0;
    } else {
        ++uart.overwritten_;
    }
}

avr_cycle_count_t UartModel::on_departure(avr_t* chip, avr_cycle_count_t when, void* self) {
    auto& uart = *static_cast<UartModel*>(self);
    const uint8_t gone = uart.shift_;
    avr_cycle_count_t next = 0;
    if (uart.buffered_) {
        uart.buffered_ = false;
        uart.shift_ = uart.buffer_;
        uart.status() |= data_empty;
        next = when + uart.byte_cycles();
        uart.raise_pending();
    } else {
        uart.shifting_ = false;
        avr_raise_interrupt(chip, &uart.port_->txc);
    }
    if (uart.on_sent) uart.on_sent(gone);
    return next;
}

uint8_t UartModel::on_status_read(avr_t* chip, avr_io_addr_t address, void*) {
    return chip->data[address];
}

void UartModel::on_status_write(avr_t*, avr_io_addr_t, uint8_t value, void* self) {
    auto& uart = *static_cast<UartModel*>(self);
    constexpr uint8_t writable = double_speed | many_processors;
    uint8_t now = static_cast<uint8_t>((uart.status() & ~writable) | (value & writable));
    if (value & transmit_complete) {  // written as one to clear
        now &= static_cast<uint8_t>(~transmit_complete);
        uart.port_->txc.pending = 0;
    }
    uart.status() = now;
}

void UartModel::on_control_write(avr_t* chip, avr_io_addr_t address, uint8_t value, void* self) {
    auto& uart = *static_cast<UartModel*>(self);
    const bool send_interrupt_new =
        (value & transmit_interrupt) && !(chip->data[address] & transmit_interrupt);
    chip->data[address] = value;
    if ((value & receiver_on) == 0) {  // switching the receiver off empties its buffer
        uart.held_.clear();
        uart.status() &= static_cast<uint8_t>(~overrun);
        uart.show_head();
    }
    uart.raise_pending();
    if (send_interrupt_new && (uart.status() & transmit_complete))
        avr_raise_interrupt(chip, &uart.port_->txc);
}

void UartModel::on_plain_write(avr_t* chip, avr_io_addr_t address, uint8_t value, void*) {
    chip->data[address] = value;
}

void UartModel::on_handled(avr_irq_t*, uint32_t running, void* self) {
    if (running == 0) static_cast<UartModel*>(self)->raise_pending();
}

void UartModel::chip_reset() {
    powered_ = true;
    held_.clear();
    shifting_ = false;
    buffered_ = false;
    status() = data_empty;
    chip_->data[port_->r_ucsrb] = 0;  // the library switches the transmitter on by itself
    chip_->data[port_->r_ucsrc] = 0x06;
    if (!wire_.empty())  // what is on the wire still comes; the reset threw its timer away
        avr_cycle_timer_register(chip_, wire_cycles(), on_arrival, this);
}

void UartModel::cut() {
    powered_ = false;
    unheard_ += wire_.size();
    wire_.clear();
    held_.clear();
    shifting_ = false;
    buffered_ = false;
}

}  // namespace pairmark::sim
