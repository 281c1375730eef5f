// The host's end of the adapter protocol (protocol/SPEC.md), without a port and without a clock: bytes and
// times in, bytes and what was heard out. The bench owns the port and the timer.
//
//   silent --HELLO--> greeting --READY--> healthy
//   any    --12 s without a good line--> silent;  any --HELLO--> greeting
//
// Trust: whatever the cable carries. Invariants:
//   S1  nothing is sent before a HELLO was heard;
//   S2  an event is handed out only from a line whose CRC is right and whose fields are in range, and only
//   when healthy; S3  it is acknowledged only when the caller says so, repeating the four values that the
//   event carried; S4  at most one PART is unanswered at a time.
#pragma once

#include <chrono>
#include <cstdint>
#include <deque>
#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "host/record/label.hpp"
#include "protocol/event_record.hpp"
#include "protocol/line.hpp"

namespace pairmark::link {

using Milliseconds = std::chrono::milliseconds;

/// The adapter introduced itself. Answer with `greet`.
struct HelloHeard {
    std::string id;  // 16 hex digits; empty: it has none yet
    std::uint32_t epoch = 0;
    std::uint32_t boot = 0;
    std::uint32_t next = 0;
    std::uint32_t acked = 0;
    std::uint32_t waiting = 0;
    std::string store;  // the store that greeted it last; empty: none
    std::string firmware;
    std::string board;
    std::string why;      // the reset's cause
    std::string profile;  // CRC of the profile in force, 8 hex digits; empty: none
};

/// The greeting is complete.
struct ReadyHeard {
    std::string id;
    std::uint32_t epoch = 0;
    std::string profile;
};

struct EventHeard {
    protocol::EventLine event;
    std::string id;    // 16 hex digits
    std::string line;  // as it was read, for the quarantine
};

/// A capture that is not a reading; `hex` are its first bytes.
struct CaptureRefused {
    std::string why;
    std::uint32_t at = 0;
    std::uint32_t length = 0;
    std::string hex;
    bool old = false;  // asked for again
};

/// A profile upload came to its end. `fault` is empty if the profile is in force.
struct ProfileStored {
    std::string profile;
    std::string fault;
};

/// The adapter complained about a line of ours.
struct ComplaintHeard {
    std::string say;
};

/// An event whose line is whole but cannot be right: `field` is outside its form or range. Not acknowledged,
/// so the adapter says it again and again.
struct BadEventHeard {
    std::string field;
};

/// A whole line of a kind that this program does not know. It was answered, and nothing of it was used.
struct UnknownHeard {
    std::string kind;
};

/// The adapter's counters, as its STATUS line gives them.
struct StatusHeard {
    std::string fields;
};

/// What the session is worth changed.
struct HealthChanged {
    record::LinkHealth health;
};

/// Bytes that are no line of the protocol. Told once until a good line comes.
struct NoiseHeard {
    std::string why;
};

using Heard = std::variant<HelloHeard, ReadyHeard, EventHeard, CaptureRefused, ProfileStored, ComplaintHeard,
                           BadEventHeard, UnknownHeard, StatusHeard, HealthChanged, NoiseHeard>;

class AdapterSession {
  public:
    /// The port was opened at `now`; the adapter is silent until it speaks.
    explicit AdapterSession(Milliseconds now);

    /// Bytes from the adapter.
    std::vector<Heard> take(std::span<const std::uint8_t> bytes, Milliseconds now);
    /// Lets time pass: pings, repeats, silence. Call at `next_wake()` or later.
    std::vector<Heard> pass(Milliseconds now);
    Milliseconds next_wake() const;

    /// Answers the latest HELLO. `acked`: the last number that this store holds of that id and epoch. `give`:
    /// an id for an adapter without one.
    void greet(const std::string& store, std::uint32_t acked, const std::string& give);
    /// After the event's commit.
    void acknowledge(const EventHeard& event);
    /// Shows a cue on the adapter: "keep", "discard", "ask", "printer", "clear". Repeated until the adapter
    /// says so, three times at most; a newer cue takes the place of one not yet shown.
    void cue(const std::string& show, Milliseconds now);
    /// Sends a compact profile in pieces and puts it in force; ProfileStored tells the end.
    void send_profile(std::span<const std::uint8_t> compact);
    void ask_status();

    /// Bytes to send, in order; the caller takes them all.
    std::string take_outgoing();
    record::LinkHealth health() const { return health_; }

  private:
    void hear(const protocol::Line& line, std::vector<Heard>& heard, Milliseconds now);
    void hear_hello(const protocol::Line& line, std::vector<Heard>& heard);
    void hear_event(const protocol::Line& line, std::vector<Heard>& heard);
    void hear_error(const protocol::Line& line, std::vector<Heard>& heard);
    void hear_unknown(const protocol::Line& line, std::vector<Heard>& heard);
    void become(record::LinkHealth health, std::vector<Heard>& heard);
    void send(protocol::LineWriter& line);
    void send_cue(Milliseconds now);
    void send_next_part();
    void finish_upload(std::vector<Heard>& heard, std::string profile, std::string fault);

    protocol::LineReader reader_;
    std::string outgoing_;
    record::LinkHealth health_ = record::LinkHealth::silent;
    Milliseconds last_good_;
    Milliseconds next_ping_;
    std::uint32_t pings_ = 0;
    std::string greeting_;  // the GREET line, again while no READY comes: either of the two may be lost
    Milliseconds greet_again_{0};
    bool noisy_ = false;

    struct Cue {
        std::uint32_t number = 0;
        std::string show;
        int sent = 0;
        Milliseconds again{0};
    };
    std::optional<Cue> cue_;
    std::uint32_t cues_ = 0;

    struct Upload {
        std::vector<std::uint8_t> bytes;
        std::size_t at = 0;
        bool committing = false;
        Milliseconds started{0};
    };
    std::optional<Upload> upload_;
    Milliseconds now_{0};
};

}  // namespace pairmark::link
