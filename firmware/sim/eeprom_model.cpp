#include "firmware/sim/eeprom_model.hpp"

#include <algorithm>

namespace pairmark::sim {
namespace {
enum Control : uint8_t {
    read_enable = 0x01,
    program = 0x02,
    master = 0x04,
    ready_interrupt = 0x08,
    mode = 0x30
};
enum Mode : uint8_t { erase_and_write = 0x00, erase_only = 0x10, write_only = 0x20 };
constexpr avr_cycle_count_t master_window = 4;  // the program bit counts only this soon after the master bit
}  // namespace

void EepromModel::attach(avr_t& chip) {
    chip_ = &chip;
    module_ = reinterpret_cast<avr_eeprom_t*>(&find_module(chip, "eeprom"));
    replace_write(chip, eecr, on_control, this);
    when_handled(module_->ready, on_handled, this);
}

void EepromModel::load(const EepromBytes& cells) {
    cells_ = cells;
    torn_.clear();
}

uint8_t EepromModel::draw(Torn torn) {
    uint8_t value = 0;
    for (uint8_t bit = 0x80; bit != 0; bit = static_cast<uint8_t>(bit >> 1)) {
        const auto pick = chance_() % 3;
        const uint8_t from = pick == 0 ? torn.before : pick == 1 ? torn.wanted : 0xFF;
        value = static_cast<uint8_t>(value | (from & bit));
    }
    return value;
}

uint8_t EepromModel::read(uint16_t address) {
    address %= eeprom_size;
    const auto torn = torn_.find(address);
    if (torn != torn_.end()) cells_[address] = draw(torn->second);
    return cells_[address];
}

uint16_t EepromModel::address() const {
    return static_cast<uint16_t>((chip_->data[eear_low] | (chip_->data[eear_high] << 8)) % eeprom_size);
}

void EepromModel::on_control(avr_t* chip, avr_io_addr_t address, uint8_t value, void* self) {
    auto& model = *static_cast<EepromModel*>(self);
    const uint8_t before = chip->data[address];
    const bool armed = (before & master) != 0;
    uint8_t now = value & (mode | ready_interrupt);
    if (model.busy_) now = static_cast<uint8_t>((now & ~mode) | (before & mode) | program);
    if (value & master) {
        now |= master;
        if (!armed) avr_cycle_timer_register(chip, master_window, on_enable_lapsed, self);
    }
    chip->data[address] = now;
    if (armed && (value & program) && !model.busy_) model.begin(now & mode);
    if ((value & read_enable) && !model.busy_) chip->data[eedr] = model.read(model.address());
    model.raise_if_ready();
}

void EepromModel::begin(uint8_t how) {
    at_ = address();
    const uint8_t data = chip_->data[eedr];
    const uint8_t before = read(at_);
    const uint8_t wanted = how == erase_only   ? 0xFF
                           : how == write_only ? static_cast<uint8_t>(before & data)
                                               : data;
    writing_ = {before, wanted};
    busy_ = true;
    module_->ready.pending = 0;  // the level that asked for it is gone
    ++writes_;
    ++worn_[at_];
    const uint64_t takes = how == erase_and_write ? eeprom_write_cycles : eeprom_half_write_cycles;
    done_at_ = chip_->cycle + takes;
    chip_->data[eecr] = static_cast<uint8_t>((chip_->data[eecr] | program) & ~master);
    if (!stuck_) avr_cycle_timer_register(chip_, takes, on_done, this);
    if (on_begin) on_begin();
}

avr_cycle_count_t EepromModel::on_done(avr_t* chip, avr_cycle_count_t, void* self) {
    auto& model = *static_cast<EepromModel*>(self);
    model.cells_[model.at_] = model.writing_.wanted;
    model.torn_.erase(model.at_);
    model.busy_ = false;
    chip->data[eecr] = static_cast<uint8_t>(chip->data[eecr] & ~program);
    model.raise_if_ready();
    return 0;
}

avr_cycle_count_t EepromModel::on_enable_lapsed(avr_t* chip, avr_cycle_count_t, void*) {
    chip->data[eecr] = static_cast<uint8_t>(chip->data[eecr] & ~master);
    return 0;
}

void EepromModel::on_handled(avr_irq_t*, uint32_t running, void* self) {
    if (running == 0) static_cast<EepromModel*>(self)->raise_if_ready();
}

void EepromModel::raise_if_ready() {
    if (!busy_ && (chip_->data[eecr] & ready_interrupt)) avr_raise_interrupt(chip_, &module_->ready);
}

void EepromModel::cut() {
    if (!busy_) return;
    busy_ = false;
    ++torn_count_;
    torn_[at_] = writing_;
    cells_[at_] = draw(writing_);
}

void EepromModel::chip_reset() {
    if (!busy_) return;
    // The reset threw away every pending timer and cleared the busy bit.
    chip_->data[eecr] = program;
    if (stuck_) return;
    const avr_cycle_count_t left = done_at_ > chip_->cycle ? done_at_ - chip_->cycle : 1;
    avr_cycle_timer_register(chip_, left, on_done, this);
}

}  // namespace pairmark::sim
