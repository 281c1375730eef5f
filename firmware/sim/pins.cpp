#include "firmware/sim/pins.hpp"

#include <simavr/avr_ioport.h>

namespace pairmark::sim {
namespace {
constexpr uint8_t key_pins = 0x0F;
constexpr uint16_t watched_registers[] = {pin_a,   ddr_a,   port_a,    ddr_e,
                                          tccr3_a, tccr3_b, ocr3a_low, ocr3a_high};
}  // namespace

void Pins::attach(avr_t& chip) {
    chip_ = &chip;
    for (size_t i = 0; i < watched_.size(); ++i) {
        watched_[i].pins = this;
        watched_[i].before = replace_write(chip, watched_registers[i], on_write, &watched_[i]);
    }
    tell_default_levels();
}

void Pins::on_write(avr_t* chip, avr_io_addr_t address, uint8_t value, void* watched) {
    const auto& entry = *static_cast<Watched*>(watched);
    if (entry.before.call != nullptr)
        entry.before.call(chip, address, value, entry.before.param);
    else
        chip->data[address] = value;
    if (entry.pins->on_store) entry.pins->on_store();
}

/// Without this, the firmware's switching on of its pull-ups would let go of every key that is held down.
void Pins::tell_default_levels() {
    avr_ioport_external_t external{};
    external.name = 'K';
    external.mask = key_pins;
    external.value = levels_;
    avr_ioctl(chip_, AVR_IOCTL_IOPORT_SET_EXTERNAL('K'), &external);
}

void Pins::press(BoardKey key, bool down) {
    const auto pin = static_cast<unsigned>(key);
    const auto bit = static_cast<uint8_t>(1u << pin);
    levels_ = static_cast<uint8_t>(down ? levels_ & ~bit : levels_ | bit);
    tell_default_levels();
    avr_raise_irq(avr_io_getirq(chip_, AVR_IOCTL_IOPORT_GETIRQ('K'), static_cast<int>(pin)), down ? 0 : 1);
    chip_->data[pin_k] = static_cast<uint8_t>((chip_->data[pin_k] & ~key_pins) | levels_);
}

void Pins::chip_reset() {
    chip_->data[pin_k] = static_cast<uint8_t>((chip_->data[pin_k] & ~key_pins) | levels_);
}

uint8_t Pins::lamps() const {
    return chip_->data[port_a] & chip_->data[ddr_a];
}

uint32_t Pins::tone_hz() const {
    const uint8_t a = chip_->data[tccr3_a];
    const uint8_t b = chip_->data[tccr3_b];
    const bool toggles = (a & 0xC0) == 0x40;
    const bool clears_on_match = (a & 0x03) == 0 && (b & 0x18) == 0x08;  // waveform mode 4
    const bool is_output = (chip_->data[ddr_e] & 0x08) != 0;
    static constexpr uint32_t prescalers[8] = {0, 1, 8, 64, 256, 1024, 0, 0};
    const uint32_t prescaler = prescalers[b & 0x07];
    if (!toggles || !clears_on_match || !is_output || prescaler == 0) return 0;
    const uint32_t top = chip_->data[ocr3a_low] | (static_cast<uint32_t>(chip_->data[ocr3a_high]) << 8);
    const uint32_t period = 2 * prescaler * (top + 1);
    return (clock_hz + period / 2) / period;
}

std::string lamp_text(uint8_t lamps) {
    std::string text(8, '0');
    for (unsigned i = 0; i < 8; ++i)
        if ((lamps >> i) & 1) text[i] = '1';
    return text;
}

}  // namespace pairmark::sim
