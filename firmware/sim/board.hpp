// The adapter's board under libsimavr: an ATmega2560 at 16 MHz with two serial ports, four keys, eight lamps,
// a sounder, an EEPROM that outlives the power, and a supply that can be cut at a chosen cycle.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <random>
#include <string>

#include "firmware/sim/chip.hpp"
#include "firmware/sim/eeprom_model.hpp"
#include "firmware/sim/pins.hpp"
#include "firmware/sim/uart_model.hpp"

namespace pairmark::sim {

enum class BoardState : uint8_t {
    running,  // executes or sleeps until an interrupt
    dead,     // no power, or the chip has stopped for good: crashed, or asleep with interrupts off
};

class Board {
  public:
    /// Loads an ELF image; the board is still without power. `seed` decides all chance: torn bytes and what
    /// SRAM holds at power on. Throws std::runtime_error if the image cannot be read or does not fit.
    explicit Board(const std::string& elf_path, uint64_t seed = 1);
    ~Board();
    Board(const Board&) = delete;
    Board& operator=(const Board&) = delete;

    /// Boots; nothing if there is power already. With the cause `brown_out` the supply had only sagged: what
    /// SRAM held is still there.
    void power_on(ResetCause cause = ResetCause::power);
    void power_cut();  // stops at this cycle, tears an EEPROM write in progress; bytes on the wires are lost
    void press_reset();
    /// Stores a value in a register or a byte of SRAM, as a disturbance might; nothing else is told.
    void disturb(uint16_t address, uint8_t value);
    uint8_t peek(uint16_t address) const { return chip_->data[address]; }
    bool has_power() const { return powered_; }
    BoardState state() const;

    /// Board time since construction. It goes on without power and when the firmware is dead.
    uint64_t cycle() const { return chip_->cycle; }
    uint64_t micros() const { return chip_->cycle / cycles_per_us; }

    /// Runs to that cycle (to within one instruction) and returns true, or false as soon as `stop` was
    /// called.
    bool run_until(uint64_t cycle);
    bool run_for(uint64_t cycles) { return run_until(cycle() + cycles); }
    /// Runs until `done()`, looked at about every 100 cycles, or after `cycles`. Says whether it was `done`.
    bool run_until(const std::function<bool()>& done, uint64_t cycles);
    /// From a callback: makes `run_until` return soon.
    void stop() { stop_ = true; }

    UartModel& host_port() { return uart0_; }
    UartModel& instrument_port() { return uart1_; }
    EepromModel& eeprom() { return eeprom_; }
    Pins& pins() { return pins_; }
    /// Lamps and tone as somebody at the bench sees and hears them: nothing without power.
    uint8_t lamps() const { return powered_ ? pins_.lamps() : 0; }
    uint32_t tone_hz() const { return powered_ ? pins_.tone_hz() : 0; }

    /// From here on goes instruction by instruction (slowly) and keeps the figures below.
    void watch_closely();
    /// Longest stretch with interrupts masked once a start has let them in: a handler, or a block that must
    /// not be interrupted.
    uint64_t longest_masked() const { return longest_masked_; }
    /// Bytes of stack in use at the deepest.
    uint16_t deepest_stack() const { return deepest_stack_; }

    unsigned resets() const { return resets_; }  // power on, key, watchdog: all
    /// Cycles so far that the chip slept. (With power it was busy in the others.)
    uint64_t asleep_cycles() const { return asleep_cycles_; }

  private:
    struct Free {
        void operator()(avr_t* chip) const;
    };
    struct ResetHook {
        avr_io_t module;
        Board* board;
    };
    void load(const std::string& elf_path);
    void restart(ResetCause cause);
    void step(uint64_t until);
    void note(uint64_t before);
    static void on_reset(avr_io_t* hook);
    static void on_sleep(avr_t* chip, avr_cycle_count_t cycles);
    static avr_cycle_count_t on_alarm(avr_t*, avr_cycle_count_t, void*);

    std::unique_ptr<avr_t, Free> chip_;
    ResetHook reset_hook_{};
    EepromModel eeprom_;
    UartModel uart0_;
    UartModel uart1_;
    Pins pins_;
    std::mt19937_64 chance_;
    bool powered_ = false;
    bool stop_ = false;
    uint64_t alarm_ = 0;
    unsigned resets_ = 0;
    uint64_t asleep_cycles_ = 0;
    bool watching_ = false;
    bool let_in_ = false;  // interrupts, since the last reset
    uint64_t masked_since_ = UINT64_MAX;
    uint64_t longest_masked_ = 0;
    uint16_t deepest_stack_ = 0;
};

}  // namespace pairmark::sim
