// The board on a PC: the adapter's core with byte queues for cables, a clock that the caller moves, and a
// non-volatile memory that tears when its power is cut. One object is one board; many may live side by side.
#pragma once

#include <array>
#include <cstdint>
#include <deque>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "firmware/core/board.hpp"

namespace pairmark::firmware {

/// The cells, which outlive the power. A torn byte reads as its old or its new value or something between,
/// another one each time, until it is written again.
class NativeEeprom {
  public:
    static constexpr std::size_t size = 4096;
    explicit NativeEeprom(std::uint32_t seed = 1) : state_(seed == 0 ? 1 : seed) { cells_.fill(0xFF); }

    std::uint8_t read(std::uint16_t at);
    void write(std::uint16_t at, std::uint8_t value);
    /// Leaves a byte half written.
    void tear(std::uint16_t at, std::uint8_t value);

    /// Torn bytes flicker differently from here on; 0 is taken as 1.
    void reseed(std::uint32_t seed) { state_ = seed == 0 ? 1 : seed; }

    std::array<std::uint8_t, size>& cells() { return cells_; }
    std::size_t torn() const { return torn_.size(); }
    std::uint32_t worn(std::uint16_t at) const { return wear_[at]; }  // times that this byte was written

  private:
    std::uint32_t next_random();
    std::array<std::uint8_t, size> cells_;
    std::array<std::uint32_t, size> wear_{};
    std::map<std::uint16_t, std::uint8_t> torn_;  // the value that was not reached
    std::uint32_t state_;
};

class NativeBoard final : public Board {
  public:
    /// The memory must outlive the board.
    explicit NativeBoard(NativeEeprom& eeprom, ResetCause cause = ResetCause::power)
        : eeprom_(eeprom), cause_(cause) {}

    // ---- the outside, for whoever plays it
    void pass(std::uint32_t ms) { now_ += ms; }
    void host_writes(std::string_view bytes) { host_in_.insert(host_in_.end(), bytes.begin(), bytes.end()); }
    /// What the adapter sent since the last call.
    std::string host_reads();
    void instrument_writes(std::string_view bytes, std::uint8_t faults = 0);
    void hold_keys(std::uint8_t keys) { keys_ = keys; }
    std::uint8_t lamps() const { return lamps_; }
    std::uint16_t tone() const { return tone_; }
    const std::optional<protocol::SerialSettings>& instrument_settings() const {
        return instrument_settings_;
    }

    /// Milliseconds that a byte of the memory needs. 0 is the quickest that a caller may assume: ready at
    /// once.
    void set_write_ms(std::uint32_t ms) { write_ms_ = ms; }
    /// Power goes while byte number `count` from now (0: the next) is being written; `finished`: just behind
    /// it.
    void cut_at_write(std::uint64_t count, bool finished = false) {
        cut_at_ = writes_ + count;
        cut_finished_ = finished;
    }
    /// Power goes now: a byte that is being written is torn.
    void cut_now();
    /// After a cut nothing more is written, and the board says nothing; throw it away.
    bool is_dead() const { return dead_; }
    std::uint64_t writes() const { return writes_; }

    // ---- the board
    const char* name() const override { return "native"; }
    ResetCause reset_cause() const override { return cause_; }
    std::uint32_t now_ms() const override { return now_; }
    bool take_host(std::uint8_t& byte) override;
    std::uint16_t host_buffer() const override { return 255; }
    std::uint16_t host_room() const override { return dead_ ? 0 : 255; }
    void send_host(const char* bytes, std::uint16_t size) override;
    bool take_instrument(InstrumentByte& byte) override;
    void set_instrument(const protocol::SerialSettings& settings) override {
        instrument_settings_ = settings;
    }
    bool eeprom_ready() const override;
    /// Both throw std::logic_error while the memory is not ready: on the chip that would stop everything for
    /// 3 ms.
    std::uint8_t read_eeprom(std::uint16_t at) const override;
    void write_eeprom(std::uint16_t at, std::uint8_t value) override;
    void set_lamps(std::uint8_t lamps) override { lamps_ = lamps; }
    void set_tone(std::uint16_t hz) override { tone_ = hz; }
    std::uint8_t keys() const override { return keys_; }
    std::uint16_t stack_left() const override { return 0; }

  private:
    struct Write {
        std::uint16_t at;
        std::uint8_t value;
        std::uint32_t since;
    };
    void settle() const;

    NativeEeprom& eeprom_;
    ResetCause cause_;
    std::uint32_t now_ = 0;
    std::deque<std::uint8_t> host_in_;
    std::string host_out_;
    std::deque<InstrumentByte> instrument_in_;
    std::optional<protocol::SerialSettings> instrument_settings_;
    std::uint8_t keys_ = 0;
    std::uint8_t lamps_ = 0;
    std::uint16_t tone_ = 0;
    std::uint32_t write_ms_ = 4;
    mutable std::optional<Write> writing_;
    std::uint64_t writes_ = 0;
    std::optional<std::uint64_t> cut_at_;
    bool cut_finished_ = false;
    bool dead_ = false;
};

}  // namespace pairmark::firmware
