#include "firmware/core/session.hpp"

#include <string.h>

#include "firmware/core/flash_text.hpp"

#ifndef PAIRMARK_VERSION
#error "the build names the version"
#endif

namespace pairmark {
namespace firmware {

using protocol::EventFields;
using protocol::LineReader;
using protocol::LineWriter;
using protocol::Text;

/// A line being built of words that lie in flash: a call each, where copying first would take two.
class Says : public LineWriter {
  public:
    explicit Says(const char* kind) : LineWriter(ram_copy(kind)) {}
    Says& count(const char* key, uint32_t value) {
        add_count(ram_copy(key), value);
        return *this;
    }
    Says& hex(const char* key, uint32_t value) {
        add_hex(ram_copy(key), value);
        return *this;
    }
    Says& hex(const char* key, const uint8_t* bytes, uint16_t size) {
        add_hex(ram_copy(key), bytes, size);
        return *this;
    }
    Says& text(const char* key, Text value) {
        add(ram_copy(key), value);
        return *this;
    }
    Says& word(const char* key, const char* flash) {
        const char* const value = ram_copy(flash);
        add(ram_copy(key), value);
        return *this;
    }
};

namespace {

constexpr uint32_t protocol_version = 1;
constexpr uint8_t bytes_a_line = 64;

/// In flash.
const char* word_of(ResetCause cause) {
    switch (cause) {
        case ResetCause::power:
            return PAIRMARK_TEXT("power");
        case ResetCause::pin:
            return PAIRMARK_TEXT("pin");
        case ResetCause::brown_out:
            return PAIRMARK_TEXT("brown");
        case ResetCause::watchdog:
            return PAIRMARK_TEXT("watchdog");
        default:
            return PAIRMARK_TEXT("unknown");
    }
}

/// In flash.
const char* word_of(protocol::LineFault fault) {
    switch (fault) {
        case protocol::LineFault::wrong_crc:
            return PAIRMARK_TEXT("wrong-crc");
        case protocol::LineFault::too_long:
            return PAIRMARK_TEXT("too-long");
        default:
            return PAIRMARK_TEXT("malformed");
    }
}

/// The word behind this one in a row of words, each ended by a zero byte.
const char* behind(const char* flash) {
    while (flash_char(flash++) != 0) {
    }
    return flash;
}

bool is(Text text, const char* flash) {
    return text == ram_copy(flash);
}

/// A sentence (in flash) as one value of a line: blanks become '_', what a value may not hold is left out.
class Words {
  public:
    explicit Words(const char* sentence) {
        for (; size_ < sizeof text_; ++sentence) {
            char c = flash_char(sentence);
            if (c == 0) break;
            if (c == ' ') c = '_';
            if (c > ' ' && c < 0x7F && c != '!' && c != '*' && c != '=') text_[size_++] = c;
        }
    }
    Text text() const { return {text_, size_}; }

  private:
    char text_[44];
    uint8_t size_ = 0;
};

}  // namespace

void Session::begin(uint32_t now) {
    begun_ = true;
    hello_ms_ = now;
    heard_ms_ = now;
}

bool Session::step(uint32_t now) {
    if (!begun_) return false;
    if (state_ == State::ready && now - heard_ms_ >= absent_after_ms) {
        state_ = State::calling;
        hello_ms_ = now;
    }
    cues_.hold(Cue::host_absent, state_ != State::ready, now);

    // One line at most, so that its answer always finds room.
    bool more = false;
    uint8_t byte = 0;
    while (room() && board_.eeprom_ready() && board_.take_host(byte)) {
        const LineReader::Found found = reader_.take(byte);
        if (found == LineReader::Found::nothing) continue;
        if (found == LineReader::Found::line) {
            handle(now);
        } else if (state_ == State::ready) {
            send_error(word_of(reader_.fault()), Text{nullptr, 0}, PAIRMARK_TEXT("damaged line"));
        }
        more = true;
        break;
    }

    if (state_ == State::keeping && settings_.rests() && room()) {
        if (hello_after_keeping_) {
            state_ = State::calling;
            hello_ms_ = now;
        } else {
            send_ready(now);
        }
    }
    if (state_ == State::calling && reached(now, hello_ms_) && room()) {
        send_hello();
        hello_ms_ = now + hello_every_ms;
    }
    if (state_ != State::ready || !room()) return more;

    ProfileStore::Answer answer = ProfileStore::Answer::later;
    uint16_t at = 0;
    if (profiles_.take_answer(answer, at)) {
        answer_profile(answer, at);
    } else if (board_.eeprom_ready() && (in_flight_ ? reached(now, flight_due_ms_) : outbox_.waiting() > 0)) {
        send_event(now);
    } else if (refused_due_) {
        refused_due_ = false;
        send_refused(refused_head_, refused_.latest(), refused_said_, false);
    } else if (shown_at_ < shown_size_) {
        send_shown();
    }
    return more;
}

Session::Kind Session::kind_of(Text kind) {
    static const char names[] PAIRMARK_FLASH = "GREET\0ERROR\0ACK\0CUE\0PING\0ASK\0PART\0COMMIT";
    const char* name = names;
    for (uint8_t i = 0; i < static_cast<uint8_t>(Kind::unknown); ++i) {
        if (is(kind, name)) return static_cast<Kind>(i);
        name = behind(name);
    }
    return Kind::unknown;
}

void Session::handle(uint32_t now) {
    heard_ms_ = now;
    const Text text = reader_.line().kind();
    const Kind kind = kind_of(text);
    if (kind == Kind::error) return;  // never answered: two ends that complain of complaints would not stop
    if (kind == Kind::greet) return greet(now);
    if (kind == Kind::unknown)
        return send_error(PAIRMARK_TEXT("unknown"), text, PAIRMARK_TEXT("unknown kind"));
    if (state_ != State::ready)
        return send_error(PAIRMARK_TEXT("ungreeted"), text, PAIRMARK_TEXT("greet first"));
    switch (kind) {
        case Kind::ack:
            return acknowledge();
        case Kind::cue:
            return cue(now);
        case Kind::ping:
            return ping(now);
        case Kind::ask:
            return ask();
        case Kind::part:
            return part();
        default:
            return commit();
    }
}

bool Session::malformed(const char* why) {
    send_error(PAIRMARK_TEXT("malformed"), reader_.line().kind(), why);
    return false;
}

bool Session::need(const char* key, uint32_t& value) {
    return reader_.line().get_count(ram_copy(key), value) || malformed(key);
}

bool Session::need(const char* key, Text& value) {
    return reader_.line().get(ram_copy(key), value) || malformed(key);
}

bool Session::need_id(const char* key, uint8_t (&id)[8]) {
    return reader_.line().get_hex(ram_copy(key), id, sizeof id) || malformed(key);
}

bool Session::need_crc(const char* key, uint32_t& crc) {
    return reader_.line().get_hex(ram_copy(key), crc) || malformed(key);
}

void Session::ping(uint32_t now) {
    uint32_t number = 0;
    if (!need(PAIRMARK_TEXT("n"), number)) return;
    Says line(PAIRMARK_TEXT("PONG"));
    line.count(PAIRMARK_TEXT("n"), number).count(PAIRMARK_TEXT("up"), now);
    add_wait(line);
    send(line);
}

void Session::greet(uint32_t now) {
    uint32_t version = 0;
    uint8_t store[8];
    if (!need(PAIRMARK_TEXT("proto"), version)) return;
    if (version != protocol_version) {
        malformed(PAIRMARK_TEXT("only version 1"));
        return;
    }
    if (!need_id(PAIRMARK_TEXT("store"), store)) return;

    SettingsValues values = settings_.values();
    bool changed = false;
    Text given;
    const bool gives = reader_.line().get(ram_copy(PAIRMARK_TEXT("give")), given);
    if (!values.has_id && !gives) {
        state_ = State::calling;
        hello_ms_ = now;
        return;
    }
    hello_after_keeping_ = false;
    if (!values.has_id) {
        if (!need_id(PAIRMARK_TEXT("give"), values.id)) return;
        values.has_id = true;
        hello_after_keeping_ = true;
        changed = true;
    } else if (!values.has_store || memcmp(values.store, store, sizeof store) != 0) {
        memcpy(values.store, store, sizeof store);
        values.has_store = true;
        values.acked_before = outbox_.highest_acknowledged();
        changed = true;
    }
    if (changed) settings_.save(values);
    profiles_.forget_upload();
    in_flight_ = false;
    state_ = State::keeping;
}

void Session::acknowledge() {
    uint8_t id[8];
    uint32_t epoch = 0;
    uint32_t number = 0;
    uint32_t crc = 0;
    if (!need(PAIRMARK_TEXT("ep"), epoch) || !need(PAIRMARK_TEXT("n"), number) ||
        !need_id(PAIRMARK_TEXT("id"), id) || !need_crc(PAIRMARK_TEXT("rec"), crc)) {
        return;
    }
    if (!in_flight_ || memcmp(id, settings_.values().id, sizeof id) != 0 || epoch != flight_epoch_ ||
        number != flight_number_ || crc != flight_crc_) {
        ++counters_.clash;
        return;
    }
    in_flight_ = false;
    outbox_.acknowledge(flight_slot_, flight_number_);
}

void Session::cue(uint32_t now) {
    uint32_t number = 0;
    Text show;
    if (!need(PAIRMARK_TEXT("n"), number) || !need(PAIRMARK_TEXT("show"), show)) return;
    const bool clear = is(show, PAIRMARK_TEXT("clear"));
    Cue shown = Cue::printer;
    if (is(show, PAIRMARK_TEXT("keep"))) {
        shown = Cue::keep;
    } else if (is(show, PAIRMARK_TEXT("discard"))) {
        shown = Cue::discard;
    } else if (is(show, PAIRMARK_TEXT("ask"))) {
        shown = Cue::ask;
    } else if (!clear && !is(show, PAIRMARK_TEXT("printer"))) {
        malformed(PAIRMARK_TEXT("show"));
        return;
    }
    if (number > cue_number_) {  // else it was shown already, and our answer was lost
        cue_number_ = number;
        if (clear || shown != Cue::printer) cues_.stop_verdict();
        if (clear) {
            cues_.stop(Cue::printer);
        } else {
            cues_.start(shown, now);
        }
    }
    send_count(PAIRMARK_TEXT("CUED"), PAIRMARK_TEXT("n"), number);
}

void Session::ask() {
    Text what;
    if (!need(PAIRMARK_TEXT("what"), what)) return;
    if (is(what, PAIRMARK_TEXT("status"))) return send_status();
    if (!is(what, PAIRMARK_TEXT("refused"))) {
        malformed(PAIRMARK_TEXT("what"));
        return;
    }
    // Each asking steps one further back; behind the oldest it begins again with the newest.
    RefusedCapture kept;
    const char* said = nullptr;
    if (!refused_.read(board_, refused_back_, kept)) {
        refused_back_ = 0;
        if (!refused_.read(board_, 0, kept)) said = PAIRMARK_TEXT("none kept");
    }
    ++refused_back_;
    send_refused(kept, kept.bytes, said, true);
}

void Session::part() {
    uint32_t at = 0;
    uint32_t of = 0;
    uint8_t bytes[layout::profile_piece];
    size_t size = 0;
    if (!need(PAIRMARK_TEXT("at"), at) || !need(PAIRMARK_TEXT("of"), of)) return;
    if (!reader_.line().get_hex(ram_copy(PAIRMARK_TEXT("hex")), bytes, sizeof bytes, size)) {
        malformed(PAIRMARK_TEXT("hex"));
        return;
    }
    answer_profile(profiles_.part(at, of, bytes, static_cast<uint8_t>(size)), static_cast<uint16_t>(at));
}

void Session::commit() {
    uint32_t length = 0;
    uint32_t crc = 0;
    if (!need(PAIRMARK_TEXT("len"), length) || !need_crc(PAIRMARK_TEXT("crc"), crc)) return;
    if (!outbox_.at_rest()) {
        return send_error(PAIRMARK_TEXT("busy"), reader_.line().kind(), PAIRMARK_TEXT("events are waiting"));
    }
    answer_profile(profiles_.commit(board_, length, crc), 0);
}

void Session::answer_profile(ProfileStore::Answer answer, uint16_t at) {
    using Answer = ProfileStore::Answer;
    const char* what = PAIRMARK_TEXT("profile");
    const char* why = nullptr;
    switch (answer) {
        case Answer::later:
            return;
        case Answer::took:
            return send_count(PAIRMARK_TEXT("TOOK"), PAIRMARK_TEXT("at"), at);
        case Answer::done: {
            Says line(PAIRMARK_TEXT("DONE"));
            add_profile(line);
            return send(line);
        }
        case Answer::busy:
            what = PAIRMARK_TEXT("busy");
            why = PAIRMARK_TEXT("not yet");
            break;
        case Answer::out_of_order:
            why = PAIRMARK_TEXT("out of order");
            break;
        case Answer::too_big:
            why = PAIRMARK_TEXT("size");
            break;
        case Answer::incomplete:
            why = PAIRMARK_TEXT("pieces are missing");
            break;
        case Answer::wrong_crc:
            why = PAIRMARK_TEXT("wrong check sum");
            break;
        case Answer::bad_form:
            why = profiles_.why();
            break;
    }
    send_error(what, reader_.line().kind(), why);
}

/// An id, or the word that there is none.
static void add_id(Says& line, const char* key, bool known, const uint8_t* bytes) {
    if (known) {
        line.hex(key, bytes, 8);
    } else {
        line.word(key, PAIRMARK_TEXT("none"));
    }
}

void Session::add_profile(Says& line) {
    if (profiles_.profile().is_open()) {
        line.hex(PAIRMARK_TEXT("prof"), profiles_.profile().crc());
    } else {
        line.word(PAIRMARK_TEXT("prof"), PAIRMARK_TEXT("none"));
    }
}

void Session::add_wait(Says& line) {
    line.count(PAIRMARK_TEXT("wait"), outbox_.waiting());
}

void Session::send_hello() {
    const SettingsValues& v = settings_.values();
    Says line(PAIRMARK_TEXT("HELLO"));
    line.count(PAIRMARK_TEXT("proto"), protocol_version);
    line.word(PAIRMARK_TEXT("fw"), PAIRMARK_TEXT(PAIRMARK_VERSION));
    line.add(ram_copy(PAIRMARK_TEXT("board")), board_.name());
    add_id(line, PAIRMARK_TEXT("id"), v.has_id, v.id);
    line.count(PAIRMARK_TEXT("ep"), v.epoch).count(PAIRMARK_TEXT("boot"), v.boot);
    line.word(PAIRMARK_TEXT("why"), word_of(board_.reset_cause()));
    line.count(PAIRMARK_TEXT("buf"), board_.host_buffer());
    add_wait(line);
    line.count(PAIRMARK_TEXT("next"), outbox_.next_number());
    add_id(line, PAIRMARK_TEXT("store"), v.has_store, v.store);
    const uint32_t acked = outbox_.highest_acknowledged();
    line.count(PAIRMARK_TEXT("acked"), acked > v.acked_before ? acked : 0);
    add_profile(line);
    send(line);
}

void Session::send_ready(uint32_t now) {
    const SettingsValues& v = settings_.values();
    Says line(PAIRMARK_TEXT("READY"));
    add_id(line, PAIRMARK_TEXT("id"), true, v.id);
    line.count(PAIRMARK_TEXT("ep"), v.epoch).count(PAIRMARK_TEXT("next"), outbox_.next_number());
    add_wait(line);
    add_profile(line);
    send(line);
    state_ = State::ready;
    heard_ms_ = now;
    in_flight_ = false;
    cue_number_ = 0;
}

void Session::send_event(uint32_t now) {
    EventFields event;
    uint32_t crc = 0;
    uint8_t slot = 0;
    if (!outbox_.oldest(board_, slot, event, crc)) return;
    if (!in_flight_) {
        in_flight_ = true;
        flight_slot_ = slot;
        flight_number_ = event.number;
        flight_epoch_ = event.epoch;
        flight_crc_ = crc;
        flight_tries_ = 0;
    } else {
        ++counters_.again;
    }
    const SettingsValues& v = settings_.values();
    Says line(PAIRMARK_TEXT("EVENT"));
    const Text text = write_event(line, v.id, event, crc, event.boot == v.boot, now - event.captured_ms);
    board_.send_host(text.data, static_cast<uint16_t>(text.size));
    const uint32_t pause = flight_tries_ == 0 ? 1000 : flight_tries_ == 1 ? 2000 : 4000;
    if (flight_tries_ < 2) ++flight_tries_;
    flight_due_ms_ = now + pause;
}

void Session::send_status() {
    static const char keys[] PAIRMARK_FLASH =
        "wait\0free\0good\0bad\0bytes\0refused\0again\0torn\0clash\0framing\0overrun\0stack";
    struct {
        uint32_t wait, free, good, bad;
        Counters counters;
        uint32_t stack;
    } const values = {outbox_.waiting(), outbox_.free(), reader_.good(),
                      reader_.damaged(), counters_,      board_.stack_left()};
    uint32_t numbers[sizeof values / sizeof(uint32_t)];
    memcpy(numbers, &values, sizeof values);
    Says line(PAIRMARK_TEXT("STATUS"));
    const char* key = keys;
    for (const uint32_t number : numbers) {
        line.count(key, number);
        key = behind(key);
    }
    send(line);
}

void Session::tell_refused(const RefusedHead& head, const char* said) {
    refused_due_ = state_ == State::ready;
    refused_said_ = said;
    refused_head_ = head;
    refused_back_ = 0;
}

void Session::send_refused(const RefusedHead& head, const uint8_t* bytes, const char* said, bool old) {
    Says line(PAIRMARK_TEXT("REFUSED"));
    if (old) line.count(PAIRMARK_TEXT("old"), 1);
    const Words why(said != nullptr ? said : words_of(head.why));
    line.text(PAIRMARK_TEXT("why"), why.text()).count(PAIRMARK_TEXT("at"), head.at);
    line.count(PAIRMARK_TEXT("len"), head.length).hex(PAIRMARK_TEXT("crc"), head.crc);
    line.hex(PAIRMARK_TEXT("hex"), bytes, head.kept());
    send(line);
}

void Session::show(const uint8_t* bytes, uint16_t size) {
    shown_ = bytes;
    shown_size_ = state_ == State::ready ? size : 0;
    shown_at_ = 0;
}

void Session::send_shown() {
    const uint16_t left = static_cast<uint16_t>(shown_size_ - shown_at_);
    const uint16_t size = left < bytes_a_line ? left : bytes_a_line;
    Says line(PAIRMARK_TEXT("SHOWN"));
    line.hex(PAIRMARK_TEXT("hex"), shown_ + shown_at_, size).count(PAIRMARK_TEXT("at"), shown_at_);
    line.count(PAIRMARK_TEXT("of"), shown_size_);
    send(line);
    shown_at_ = static_cast<uint16_t>(shown_at_ + size);
}

void Session::send_error(const char* what, Text kind, const char* why) {
    const Words words(why);
    Says line(PAIRMARK_TEXT("ERROR"));
    line.word(PAIRMARK_TEXT("what"), what);
    if (kind.size > 0 && kind.size <= 32) line.text(PAIRMARK_TEXT("kind"), kind);
    line.text(PAIRMARK_TEXT("why"), words.text());
    send(line);
}

void Session::send_count(const char* kind, const char* key, uint32_t value) {
    Says line(kind);
    line.count(key, value);
    send(line);
}

void Session::send(LineWriter& line) {
    const Text text = line.finish();
    board_.send_host(text.data, static_cast<uint16_t>(text.size));
}

}  // namespace firmware
}  // namespace pairmark
