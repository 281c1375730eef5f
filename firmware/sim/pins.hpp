// The board's keys, lamps and sounder.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <string>

#include "firmware/sim/chip.hpp"

namespace pairmark::sim {

/// The four keys at PK0 to PK3, active low.
enum class BoardKey : uint8_t { go_on, turn_down, undo, set_aside };

/// The eight lamps at PA0 to PA7: bit n of `Pins::lamps`.
enum class Lamp : uint8_t { keep, discard, ask, accepted, refused, host_absent, memory_full, printer };

class Pins {
  public:
    Pins() = default;
    Pins(const Pins&) = delete;
    Pins& operator=(const Pins&) = delete;

    void attach(avr_t& chip);

    /// Called when a register behind the lamps or the sounder was stored to, even with what it held.
    std::function<void()> on_store;

    /// Holds a key down or lets it go. Survives resets and power cuts: it is a finger.
    void press(BoardKey key, bool down);

    uint8_t lamps() const;
    bool is_lit(Lamp lamp) const { return (lamps() >> static_cast<unsigned>(lamp)) & 1; }
    /// Hertz at OC3A, rounded, from timer 3's registers; 0 when it is silent.
    uint32_t tone_hz() const;

    /// Drives the keys again: a reset zeroes the pin registers, which would look like four keys going down.
    void chip_reset();

  private:
    struct Watched {
        Pins* pins = nullptr;
        WriteHandler before;
    };
    static void on_write(avr_t* chip, avr_io_addr_t address, uint8_t value, void* watched);
    void tell_default_levels();

    avr_t* chip_ = nullptr;
    uint8_t levels_ = 0x0F;
    std::array<Watched, 8> watched_{};
};

/// "10000001": the lamps in the order of `Lamp`, 1 for lit.
std::string lamp_text(uint8_t lamps);

}  // namespace pairmark::sim
