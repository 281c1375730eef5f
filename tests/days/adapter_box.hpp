// An adapter as it stands on the table: the real core on the native board, its cables, its power, and an eye
// on its lamps.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "firmware/board/native/native_board.hpp"
#include "firmware/core/adapter.hpp"
#include "tests/days/fake_ports.hpp"

namespace pairmark::days {

class AdapterBox final : public Device {
  public:
    /// An adapter with a name (16 hex digits) and a profile, nothing to tell, powered on.
    AdapterBox(std::uint32_t seed, const std::string& id, const std::vector<std::uint8_t>& profile);

    // ---- its cables
    void hear(std::string_view bytes) override;
    std::string say() override;
    void port_opened() override;
    /// What the instrument prints; lost without power. `faults` of the receiver stand on the last byte.
    void print(std::string_view capture, std::uint8_t faults = 0);
    void hold_keys(std::uint8_t keys);

    // ---- its power
    bool has_power() const { return board_ != nullptr; }
    void power_on(firmware::ResetCause cause = firmware::ResetCause::power);
    /// A byte of the memory that is being written is torn.
    void cut();
    /// The same while the `count`-th byte from now is written, if ever one is: `on_cut` tells.
    void cut_at_write(unsigned count) { board_->cut_at_write(count); }
    /// The chip begins anew; its memory finishes what it was writing.
    void reset(firmware::ResetCause cause);
    std::function<void()> on_cut;
    bool resets_on_open = false;

    // ---- what one sees
    bool running() const { return board_ && adapter_->running(); }
    /// Times that the accepted lamp was lit for long enough to be seen.
    unsigned accepted_seen() const { return accepted_seen_; }
    bool accepted_lit() const { return lit_; }
    bool lamp(firmware::Cue cue) const;
    /// Cuts and resets so far.
    unsigned starts() const { return starts_; }
    unsigned torn() const { return torn_; }
    /// Nothing waits for the computer.
    bool has_told_all() const { return running() && adapter_->outbox().at_rest(); }
    unsigned waiting() const { return running() ? adapter_->outbox().waiting() : 0; }

    // ---- time
    /// Does what is due.
    void step();
    void pass(unsigned ms);
    /// It must not be left alone for longer than a millisecond.
    bool is_busy() const;

    /// For the trial of the trial: shows *accepted* for what the instrument prints, and keeps nothing.
    bool cues_without_keeping = false;

  private:
    void look();
    firmware::NativeEeprom eeprom_;
    std::unique_ptr<firmware::NativeBoard> board_;
    std::unique_ptr<firmware::Adapter> adapter_;
    std::uint64_t now_ms_ = 0;
    std::uint64_t lit_since_ = 0;
    std::uint64_t lies_until_ = 0;
    bool lit_ = false;
    bool seen_ = false;
    bool fresh_bytes_ = true;
    unsigned accepted_seen_ = 0;
    unsigned starts_ = 0;
    unsigned torn_ = 0;
};

}  // namespace pairmark::days
