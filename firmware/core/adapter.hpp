// The adapter: what a capture or a key press goes through until it is an event that rests, and the start that
// comes before.
//
//   phase     what happens
//   start     all slots were read; settings with this start's number, and a higher epoch if any slot was
//   torn, are written mend      torn slots are blanked, records without a recorded cue are moved and cued run
//   captures and keys are taken, the host is spoken to
#pragma once

#include <stdint.h>

#include "firmware/core/board.hpp"
#include "firmware/core/capture.hpp"
#include "firmware/core/counters.hpp"
#include "firmware/core/cues.hpp"
#include "firmware/core/eeprom_writer.hpp"
#include "firmware/core/keys.hpp"
#include "firmware/core/outbox.hpp"
#include "firmware/core/profile_store.hpp"
#include "firmware/core/refused_store.hpp"
#include "firmware/core/session.hpp"
#include "firmware/core/settings.hpp"

namespace pairmark {
namespace firmware {

class Adapter {
  public:
    explicit Adapter(Board& board);

    /// Reads the non-volatile memory; call once, before the first step. Writes nothing yet.
    void start();

    /// Does what is due, at most some milliseconds long. True if there is more to do at once; else the board
    /// may sleep as long as `busy` allows.
    bool step();

    /// After a step that left nothing to do at once: the next is wanted in a millisecond. Else it may come up
    /// to `rest_ms` later, in the millisecond after a byte, or when a memory is free again.
    bool busy() const;
    static constexpr uint8_t rest_ms = 10;

    bool running() const { return phase_ == Phase::run; }
    const Counters& counters() const { return counters_; }
    const Outbox& outbox() const { return outbox_; }
    const Settings& settings() const { return settings_; }
    const protocol::Profile& profile() const { return profiles_.profile(); }

  private:
    enum class Phase : uint8_t { start, mend, run };
    bool take_instrument(uint32_t now);
    void take_keys(uint32_t now);
    void found(CaptureFramer::Found what, uint32_t now);
    void capture(uint32_t now);
    void put_aside(Refusal why, const char* said, uint16_t at);
    void refuse(Refusal why, const char* said, uint16_t at, uint32_t now);
    bool keep(protocol::EventFields& event, Refusal& why);
    void give_cues(uint32_t now);
    void follow_profile();

    Board& board_;
    Counters counters_;
    EepromWriter writer_;
    Settings settings_;
    Outbox outbox_;
    ProfileStore profiles_;
    RefusedStore refused_;
    Cues cues_;
    Keys keys_;
    CaptureFramer framer_;
    Session session_;
    Phase phase_ = Phase::start;
    bool raise_failed_ = false;  // the epoch can rise no further
    bool first_ = true;          // no event was taken since the start
    bool was_switching_ = true;
};

}  // namespace firmware
}  // namespace pairmark
