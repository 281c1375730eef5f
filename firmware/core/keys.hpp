// Four keys, debounced. One at a time: two together mean nothing, and nothing more happens until all are
// released.
//
//   state   what has been seen
//   spent   a key is down that may not act any more (also at start: a key held then is not a press)
//   idle    no key is down
//   down    one key is down, its press not yet told
#pragma once

#include <stdint.h>

#include "firmware/core/board.hpp"
#include "protocol/event_record.hpp"

namespace pairmark {
namespace firmware {

class Keys {
  public:
    static constexpr uint16_t debounce_ms = 30;
    static constexpr uint16_t long_ms = 1000;

    struct Press {
        protocol::Key key;
        bool long_press;
        uint32_t at_ms;  // when the key went down
    };

    /// Call at least every few milliseconds with the keys that are down. A short press is told on release, a
    /// long one as soon as it is long.
    bool poll(uint8_t down, uint32_t now, Press& press);

    /// The keys are not yet as they were seen last.
    bool busy() const { return seen_ != settled_; }

  private:
    enum class State : uint8_t { spent, idle, down };
    uint8_t seen_ = 0xFF;
    uint8_t settled_ = 0xFF;
    uint32_t seen_ms_;
    State state_ = State::spent;
    uint8_t key_;
    uint32_t down_ms_;
};

}  // namespace firmware
}  // namespace pairmark
