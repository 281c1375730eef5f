// The chip's EEPROM as silicon has it: a byte takes 3.4 ms, and a byte whose write was cut short is torn.
// (The library's own commits at once, never reads busy and never tears.)
#pragma once

#include <simavr/avr_eeprom.h>

#include <array>
#include <cstdint>
#include <functional>
#include <map>
#include <random>

#include "firmware/sim/chip.hpp"

namespace pairmark::sim {

constexpr size_t eeprom_size = 4096;
using EepromBytes = std::array<uint8_t, eeprom_size>;

/// Cycles that a write keeps the EEPROM busy (source: data sheet, "EEPROM Mode Bits": 3.4 ms erase and
/// write, 1.8 ms for either alone).
constexpr uint64_t eeprom_write_cycles = 3400 * cycles_per_us;
constexpr uint64_t eeprom_half_write_cycles = 1800 * cycles_per_us;

/// Outlives power cuts. A torn byte reads anew at each read, as marginal cells do, until it is written again.
class EepromModel {
  public:
    explicit EepromModel(uint64_t seed) : chance_(seed) { cells_.fill(0xFF); }
    EepromModel(const EepromModel&) = delete;
    EepromModel& operator=(const EepromModel&) = delete;

    /// Puts itself in the place of the library's EEPROM. Once, before the first run.
    void attach(avr_t& chip);

    /// The cells as they rest; a torn byte as it was last drawn.
    const EepromBytes& cells() const { return cells_; }
    /// Replaces all cells; none is torn afterwards. Not while a write is going on.
    void load(const EepromBytes& cells);
    /// What a read gives: for a torn byte each bit is anew that of before, that of the write, or one.
    uint8_t read(uint16_t address);

    bool busy() const { return busy_; }
    uint64_t writes() const { return writes_; }                                     // writes begun
    uint32_t worn(uint16_t address) const { return worn_[address % eeprom_size]; }  // of them, to this byte
    uint64_t torn_writes() const { return torn_count_; }                            // writes that a cut ended
    bool is_torn(uint16_t address) const { return torn_.count(address % eeprom_size) != 0; }

    /// Called when a write has begun.
    std::function<void()> on_begin;
    /// From here on chance is decided by this seed.
    void reseed(uint64_t seed) { chance_.seed(seed); }
    /// A broken memory: a write that is begun never ends.
    void stick() { stuck_ = true; }

    /// The supply went away: a write in progress tears its byte.
    void cut();
    /// The chip was reset. A write in progress goes on, as the data sheet promises while the supply holds.
    void chip_reset();

  private:
    struct Torn {
        uint8_t before;
        uint8_t wanted;
    };
    static void on_control(avr_t* chip, avr_io_addr_t address, uint8_t value, void* self);
    static avr_cycle_count_t on_done(avr_t* chip, avr_cycle_count_t when, void* self);
    static avr_cycle_count_t on_enable_lapsed(avr_t* chip, avr_cycle_count_t when, void* self);
    static void on_handled(avr_irq_t* irq, uint32_t running, void* self);
    uint16_t address() const;
    void begin(uint8_t mode);
    void raise_if_ready();
    uint8_t draw(Torn torn);

    avr_t* chip_ = nullptr;
    avr_eeprom_t* module_ = nullptr;
    EepromBytes cells_{};
    std::array<uint32_t, eeprom_size> worn_{};
    std::map<uint16_t, Torn> torn_;
    std::mt19937_64 chance_;
    bool busy_ = false;
    bool stuck_ = false;
    uint16_t at_ = 0;
    Torn writing_{0xFF, 0xFF};
    avr_cycle_count_t done_at_ = 0;
    uint64_t writes_ = 0;
    uint64_t torn_count_ = 0;
};

}  // namespace pairmark::sim
