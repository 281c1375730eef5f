#include "firmware/core/adapter.hpp"

namespace pairmark {
namespace firmware {

using protocol::Decoded;
using protocol::EventFields;
using protocol::EventKind;

Adapter::Adapter(Board& board)
    // Empty brackets make all zero before a class's own start values: an initialiser for each zero would cost
    // flash.
    : board_(board),
      counters_(),
      writer_(),
      settings_(),
      outbox_(),
      profiles_(),
      refused_(),
      cues_(),
      keys_(),
      framer_(),
      session_(board, settings_, outbox_, profiles_, refused_, cues_, counters_) {}

void Adapter::start() {
    uint8_t torn = settings_.load(board_);
    torn = static_cast<uint8_t>(torn + profiles_.scan(board_, settings_.values().profile_sequence));
    torn = static_cast<uint8_t>(torn + refused_.scan(board_));
    torn = static_cast<uint8_t>(torn + outbox_.scan(board_));
    counters_.torn = torn;
    SettingsValues values = settings_.values();
    ++values.boot;
    if (torn > 0) {
        if (values.epoch == 0xFFFF) {
            raise_failed_ = true;
        } else {
            ++values.epoch;
        }
    }
    settings_.save(values, Writing::every);
}

bool Adapter::step() {
    const uint32_t now = board_.now_ms();
    bool more = false;
    if (phase_ == Phase::run) {
        // The host first: sending an event reads the memory, which is possible only between two written
        // bytes.
        more = session_.step(now);
        if (take_instrument(now)) more = true;
        take_keys(now);
    }
    settings_.pump(writer_);
    profiles_.pump(writer_, settings_);
    outbox_.pump(writer_, !cues_.shows(Cue::accepted));
    give_cues(now);
    refused_.pump(writer_);
    writer_.pump(board_);

    if (phase_ == Phase::start && settings_.rests()) phase_ = Phase::mend;
    if (phase_ == Phase::mend && profiles_.recover(writer_, settings_) && refused_.recover(writer_) &&
        outbox_.recover(writer_, board_) && settings_.rests()) {
        phase_ = Phase::run;
        session_.begin(now);
        more = true;
    }
    cues_.hold(Cue::memory_full, phase_ == Phase::run && outbox_.free() == 0, now);
    cues_.drive(board_, now);
    return more;
}

bool Adapter::busy() const {
    // While a byte is being written only its end matters. What is not asked here can wait for ten
    // milliseconds.
    return phase_ != Phase::run || !framer_.undisturbed() || keys_.busy() ||
           (writer_.idle() && (outbox_.busy() || profiles_.busy()));
}

void Adapter::follow_profile() {
    const bool switching = profiles_.switching();
    if (was_switching_ && !switching) {
        const protocol::Profile& profile = profiles_.profile();
        board_.set_instrument(profile.is_open() ? profile.serial() : protocol::SerialSettings());
        framer_.set(profile.is_open() ? profile.framing() : protocol::Framing());
        session_.stop_showing();
    }
    was_switching_ = switching;
}

bool Adapter::take_instrument(uint32_t now) {
    follow_profile();
    if (was_switching_) return false;
    InstrumentByte byte = {0, 0};
    while (board_.take_instrument(byte)) {
        ++counters_.bytes;
        if ((byte.faults & (fault_framing | fault_parity)) != 0) ++counters_.framing;
        if ((byte.faults & fault_overrun) != 0) ++counters_.overrun;
        session_.stop_showing();
        const CaptureFramer::Found what = framer_.take(byte, now);
        if (what != CaptureFramer::Found::nothing) {
            found(what, now);
            return true;  // one capture a step: reading it takes a while
        }
    }
    found(framer_.tick(now), now);
    return false;
}

void Adapter::found(CaptureFramer::Found what, uint32_t now) {
    if (what == CaptureFramer::Found::noise) {
        // No cue: noise is not an attempt to measure.
        put_aside(Refusal::before_start, nullptr, 0);
        what = framer_.resume(now);
    }
    if (what == CaptureFramer::Found::capture) capture(now);
}

void Adapter::capture(uint32_t now) {
    const uint8_t faults = framer_.faults();
    if ((faults & fault_overrun) != 0) return refuse(Refusal::bytes_lost, nullptr, 0, now);
    if ((faults & fault_parity) != 0) return refuse(Refusal::damaged_parity, nullptr, 0, now);
    if ((faults & fault_framing) != 0) return refuse(Refusal::damaged_framing, nullptr, 0, now);
    if (framer_.too_long()) return refuse(Refusal::too_long, nullptr, protocol::max_capture, now);
    if (framer_.cut_short()) return refuse(Refusal::cut_short, nullptr, framer_.length(), now);
    const protocol::Profile& profile = profiles_.profile();
    if (!profile.is_open()) return refuse(Refusal::no_profile, nullptr, 0, now);
    if (!settings_.values().has_id) return refuse(Refusal::no_id, nullptr, 0, now);

    const Decoded decoded = decode(profile, framer_.bytes(), framer_.size());
    if (decoded.outcome == Decoded::Outcome::refused) {
        return refuse(Refusal::not_understood, decoded.why, static_cast<uint16_t>(decoded.at), now);
    }
    if (decoded.outcome == Decoded::Outcome::reading) {
        EventFields event;
        event.kind = EventKind::reading;
        event.captured_ms = now;
        event.step = profile.step();
        event.lens_count = decoded.lens_count;
        event.has_centres = decoded.has_centres;
        event.centres = decoded.centres;
        event.lens[0] = decoded.lens[0];
        event.lens[1] = decoded.lens[1];
        Refusal why = Refusal::not_understood;
        if (!keep(event, why)) return refuse(why, nullptr, 0, now);
    }
    session_.show(framer_.bytes(), framer_.size());
}

void Adapter::put_aside(Refusal why, const char* said, uint16_t at) {
    ++counters_.refused;
    RefusedHead head;
    head.why = why;
    head.length = framer_.length();
    head.at = at;
    head.crc = framer_.crc();
    refused_.keep(head, framer_.bytes());
    session_.tell_refused(head, said);
}

void Adapter::refuse(Refusal why, const char* said, uint16_t at, uint32_t now) {
    put_aside(why, said, at);
    cues_.start(Cue::refused, now);
}

bool Adapter::keep(EventFields& event, Refusal& why) {
    const SettingsValues& v = settings_.values();
    event.epoch = v.epoch;
    event.boot = v.boot;
    event.first_after_reset = first_;
    if (!v.has_id) {
        why = Refusal::no_id;
        return false;
    }
    switch (raise_failed_ ? Outbox::Taken::exhausted : outbox_.put(event)) {
        case Outbox::Taken::taken:
            first_ = false;
            return true;
        case Outbox::Taken::full:
            why = Refusal::memory_full;
            return false;
        case Outbox::Taken::busy:
            why = Refusal::too_fast;
            return false;
        default:
            why = Refusal::no_numbers;
            return false;
    }
}

void Adapter::take_keys(uint32_t now) {
    Keys::Press press = {protocol::Key::go_on, false, 0};
    if (!keys_.poll(board_.keys(), now, press)) return;
    EventFields event;
    event.kind = EventKind::key;
    event.captured_ms = press.at_ms;
    event.key = press.key;
    event.long_press = press.long_press;
    Refusal why = Refusal::not_understood;
    if (keep(event, why)) return;
    ++counters_.refused;
    cues_.start(Cue::refused, now);
}

void Adapter::give_cues(uint32_t now) {
    EventKind kind = EventKind::reading;
    while (outbox_.take_rested(kind)) {
        // A verdict belongs to the pair before; a key may be an answer to it.
        if (kind == EventKind::reading) cues_.stop_verdict();
        cues_.start(Cue::accepted, now);
    }
}

}  // namespace firmware
}  // namespace pairmark
