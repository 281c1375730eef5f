// The adapter's end of the protocol with the host (protocol/SPEC.md).
//
//   state    what has been seen
//   calling  no greeting, or silence for 12 s: HELLO every 2 s, nothing else unasked
//   keeping  a greeting whose id or store is being put in both settings slots
//   ready    greeted: events flow, one in flight
// A greeting is obeyed in any state and begins the session again.
#pragma once

#include <stdint.h>

#include "firmware/core/board.hpp"
#include "firmware/core/counters.hpp"
#include "firmware/core/cues.hpp"
#include "firmware/core/outbox.hpp"
#include "firmware/core/profile_store.hpp"
#include "firmware/core/refused_store.hpp"
#include "firmware/core/settings.hpp"
#include "protocol/line.hpp"

namespace pairmark {
namespace firmware {

class Says;

/// What a session remembers; all zero at first.
struct SessionState {
    enum class State : uint8_t { calling, keeping, ready };

    protocol::LineReader reader_;
    State state_;
    bool begun_;
    bool hello_after_keeping_;
    uint32_t hello_ms_;
    uint32_t heard_ms_;

    bool in_flight_;
    uint8_t flight_slot_;
    uint8_t flight_tries_;
    uint32_t flight_number_;
    uint32_t flight_crc_;
    uint16_t flight_epoch_;
    uint32_t flight_due_ms_;

    uint32_t cue_number_;
    uint8_t refused_back_;

    bool refused_due_;
    const char* refused_said_;
    RefusedHead refused_head_;
    const uint8_t* shown_;
    uint16_t shown_size_;
    uint16_t shown_at_;
};

class Session : private SessionState {
  public:
    static constexpr uint32_t hello_every_ms = 2000;
    static constexpr uint32_t absent_after_ms = 12000;

    Session(Board& board, Settings& settings, Outbox& outbox, ProfileStore& profiles, RefusedStore& refused,
            Cues& cues, Counters& counters)
        : SessionState(),
          board_(board),
          settings_(settings),
          outbox_(outbox),
          profiles_(profiles),
          refused_(refused),
          cues_(cues),
          counters_(counters) {}

    /// The rest is sound after a start; the first HELLO may go out.
    void begin(uint32_t now);

    /// Takes what the host sent, answers, and sends what is due. True if there is more to do at once.
    bool step(uint32_t now);

    /// Lines to tell when there is room: the newest refused capture, and the raw bytes of a decoded one.
    /// `said`: why in words, of static storage in flash; null where the reason says it all.
    void tell_refused(const RefusedHead& head, const char* said);
    void show(const uint8_t* bytes, uint16_t size);
    void stop_showing() { shown_size_ = 0; }

    bool ready() const { return state_ == State::ready; }

  private:
    enum class Kind : uint8_t { greet, error, ack, cue, ping, ask, part, commit, unknown };
    static Kind kind_of(protocol::Text kind);
    void handle(uint32_t now);
    void greet(uint32_t now);
    void ping(uint32_t now);
    void acknowledge();
    void cue(uint32_t now);
    void ask();
    void part();
    void commit();
    void answer_profile(ProfileStore::Answer answer, uint16_t at);
    void send_hello();
    void send_ready(uint32_t now);
    void send_event(uint32_t now);
    void send_status();
    void send_refused(const RefusedHead& head, const uint8_t* bytes, const char* said, bool old);
    void send_shown();
    void add_profile(Says& line);
    void add_wait(Says& line);

    // Texts below lie in flash, see flash_text.hpp.
    void send_error(const char* what, protocol::Text kind, const char* why);
    void send_count(const char* kind, const char* key, uint32_t value);
    bool malformed(const char* why);  // always false
    /// Each gets what must be there; else answers that the line is malformed.
    bool need(const char* key, uint32_t& value);
    bool need(const char* key, protocol::Text& value);
    bool need_id(const char* key, uint8_t (&id)[8]);
    bool need_crc(const char* key, uint32_t& crc);
    void send(protocol::LineWriter& line);
    bool room() const { return board_.host_room() >= protocol::max_line; }

    Board& board_;
    Settings& settings_;
    Outbox& outbox_;
    ProfileStore& profiles_;
    RefusedStore& refused_;
    Cues& cues_;
    Counters& counters_;
};

}  // namespace firmware
}  // namespace pairmark
