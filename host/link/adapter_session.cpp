#include "host/link/adapter_session.hpp"

#include <algorithm>
#include <utility>

#include "protocol/crc32.hpp"

namespace pairmark::link {
namespace {

using protocol::Line;
using protocol::LineWriter;
using protocol::Text;
using record::LinkHealth;
using namespace std::chrono_literals;

constexpr Milliseconds ping_every = 5s;
constexpr Milliseconds silent_after = 12s;
constexpr Milliseconds greet_again_after = 2s;
constexpr Milliseconds cue_again_after = 1s;
constexpr int cue_tries = 3;
constexpr std::size_t part_size = 64;
constexpr Milliseconds upload_gives_up_after = 20s;

std::string text_of(const Line& line, const char* key) {
    Text value{nullptr, 0};
    if (!line.get(key, value)) return {};
    return {value.data, value.size};
}

/// "none" and absence both mean that there is none.
std::string text_or_none(const Line& line, const char* key) {
    std::string value = text_of(line, key);
    return value == "none" ? std::string() : value;
}

std::uint32_t count_of(const Line& line, const char* key) {
    std::uint32_t value = 0;
    return line.get_count(key, value) ? value : 0;
}

std::string hex_of(const std::uint8_t (&id)[8]) {
    static constexpr char digits[] = "0123456789ABCDEF";
    std::string hex;
    for (const std::uint8_t byte : id) {
        hex += digits[byte >> 4U];
        hex += digits[byte & 15U];
    }
    return hex;
}

/// "wrong_check_sum" travels with underscores, since a value has no blanks.
std::string spoken(std::string words) {
    std::replace(words.begin(), words.end(), '_', ' ');
    return words;
}

}  // namespace

AdapterSession::AdapterSession(Milliseconds now) : last_good_(now), next_ping_(now + ping_every), now_(now) {}

std::vector<Heard> AdapterSession::take(std::span<const std::uint8_t> bytes, Milliseconds now) {
    std::vector<Heard> heard;
    now_ = now;
    for (const std::uint8_t byte : bytes) {
        switch (reader_.take(byte)) {
            case protocol::LineReader::Found::nothing:
                break;
            case protocol::LineReader::Found::line:
                last_good_ = now;
                noisy_ = false;
                hear(reader_.line(), heard, now);
                break;
            case protocol::LineReader::Found::fault:
                if (!noisy_) heard.emplace_back(NoiseHeard{protocol::name_of(reader_.fault())});
                noisy_ = true;
                break;
        }
    }
    return heard;
}

void AdapterSession::hear(const Line& line, std::vector<Heard>& heard, Milliseconds now) {
    const Text kind = line.kind();
    if (kind == "HELLO") return hear_hello(line, heard);
    // S1, S2: before the greeting is complete only READY counts; an event is sent again, so nothing is lost.
    if (kind == "READY" && health_ == LinkHealth::greeting) {
        become(LinkHealth::healthy, heard);
        next_ping_ = now + ping_every;
        heard.emplace_back(ReadyHeard{text_of(line, "id"), count_of(line, "ep"), text_or_none(line, "prof")});
        return;
    }
    if (health_ != LinkHealth::healthy) return;
    if (kind == "EVENT") return hear_event(line, heard);
    if (kind == "CUED" && cue_ && count_of(line, "n") == cue_->number) {
        cue_.reset();
    } else if (kind == "TOOK" && upload_ && count_of(line, "at") == upload_->at) {
        upload_->at = std::min(upload_->at + part_size, upload_->bytes.size());
        send_next_part();
    } else if (kind == "DONE") {
        finish_upload(heard, text_or_none(line, "prof"), {});
    } else if (kind == "REFUSED") {
        heard.emplace_back(CaptureRefused{spoken(text_of(line, "why")), count_of(line, "at"),
                                          count_of(line, "len"), text_of(line, "hex"),
                                          count_of(line, "old") == 1});
    } else if (kind == "STATUS") {
        heard.emplace_back(StatusHeard{std::string(reader_.raw().data, reader_.raw().size)});
    } else if (kind == "ERROR") {
        hear_error(line, heard);
    } else if (!(kind == "CUED" || kind == "TOOK" || kind == "PONG" || kind == "SHOWN" || kind == "READY")) {
        hear_unknown(line, heard);
    }
}

void AdapterSession::hear_unknown(const Line& line, std::vector<Heard>& heard) {
    std::string kind(line.kind().data, line.kind().size);
    // An answer of 240 bytes at most has room for no longer name.
    if (kind.size() > 32) kind.resize(32);
    LineWriter answer("ERROR");
    answer.add("what", "unknown").add("kind", kind.c_str()).add("why", "unknown_kind");
    send(answer);
    heard.emplace_back(UnknownHeard{std::move(kind)});
}

void AdapterSession::hear_hello(const Line& line, std::vector<Heard>& heard) {
    HelloHeard hello;
    hello.id = text_or_none(line, "id");
    hello.epoch = count_of(line, "ep");
    hello.boot = count_of(line, "boot");
    hello.next = count_of(line, "next");
    hello.acked = count_of(line, "acked");
    hello.waiting = count_of(line, "wait");
    hello.store = text_or_none(line, "store");
    hello.firmware = text_of(line, "fw");
    hello.board = text_of(line, "board");
    hello.why = text_of(line, "why");
    hello.profile = text_or_none(line, "prof");
    if (count_of(line, "proto") != 1) {
        heard.emplace_back(ComplaintHeard{"the adapter speaks protocol version " + text_of(line, "proto") +
                                          ", this program version 1; bring both to the same release"});
        return;
    }
    upload_.reset();
    cue_.reset();
    greeting_.clear();
    become(LinkHealth::greeting, heard);
    heard.emplace_back(std::move(hello));
}

void AdapterSession::hear_event(const Line& line, std::vector<Heard>& heard) {
    EventHeard event;
    const char* fault = nullptr;
    if (!protocol::read_event(line, event.event, fault)) {
        heard.emplace_back(BadEventHeard{fault == nullptr ? "field" : fault});
        return;
    }
    event.id = hex_of(event.event.id);
    event.line.assign(reader_.raw().data, reader_.raw().size);
    heard.emplace_back(std::move(event));
}

void AdapterSession::hear_error(const Line& line, std::vector<Heard>& heard) {
    const std::string what = spoken(text_of(line, "what"));
    const std::string why = spoken(text_of(line, "why"));
    const std::string kind = text_of(line, "kind");
    const std::string say = what + (kind.empty() ? "" : " (" + kind + ")") + (why.empty() ? "" : ": " + why);
    if (upload_ && (kind == "PART" || kind == "COMMIT")) return finish_upload(heard, {}, say);
    heard.emplace_back(ComplaintHeard{say});
}

void AdapterSession::become(LinkHealth health, std::vector<Heard>& heard) {
    if (health == health_) return;
    health_ = health;
    heard.emplace_back(HealthChanged{health});
}

std::vector<Heard> AdapterSession::pass(Milliseconds now) {
    std::vector<Heard> heard;
    now_ = now;
    if (now - last_good_ >= silent_after) {
        become(LinkHealth::silent, heard);
        return heard;
    }
    if (health_ == LinkHealth::greeting && !greeting_.empty() && now >= greet_again_) {
        outgoing_ += greeting_;
        greet_again_ = now + greet_again_after;
    }
    if (health_ != LinkHealth::healthy) return heard;
    if (upload_ && now - upload_->started >= upload_gives_up_after)
        finish_upload(heard, {}, "the adapter did not answer while its profile was sent");
    if (now >= next_ping_) {
        LineWriter line("PING");
        line.add_count("n", ++pings_);
        send(line);
        next_ping_ = now + ping_every;
    }
    if (cue_ && now >= cue_->again) {
        if (cue_->sent >= cue_tries)
            cue_.reset();
        else
            send_cue(now);
    }
    return heard;
}

Milliseconds AdapterSession::next_wake() const {
    Milliseconds wake = health_ == LinkHealth::silent ? Milliseconds::max() : last_good_ + silent_after;
    if (health_ == LinkHealth::greeting && !greeting_.empty()) wake = std::min(wake, greet_again_);
    if (health_ == LinkHealth::healthy) {
        wake = std::min(wake, next_ping_);
        if (cue_) wake = std::min(wake, cue_->again);
        if (upload_) wake = std::min(wake, upload_->started + upload_gives_up_after);
    }
    return wake;
}

void AdapterSession::greet(const std::string& store, std::uint32_t acked, const std::string& give) {
    LineWriter line("GREET");
    line.add_count("proto", 1).add("store", store.c_str()).add_count("acked", acked);
    if (!give.empty()) line.add("give", give.c_str());
    const Text text = line.finish();
    greeting_.assign(text.data, text.size);
    outgoing_ += greeting_;
    greet_again_ = now_ + greet_again_after;
}

void AdapterSession::acknowledge(const EventHeard& event) {
    LineWriter line("ACK");
    line.add("id", event.id.c_str())
        .add_count("ep", event.event.event.epoch)
        .add_count("n", event.event.event.number)
        .add_hex("rec", event.event.crc);
    send(line);
}

void AdapterSession::cue(const std::string& show, Milliseconds now) {
    if (health_ != LinkHealth::healthy) return;
    cue_ = Cue{++cues_, show, 0, now};
    send_cue(now);
}

void AdapterSession::send_cue(Milliseconds now) {
    LineWriter line("CUE");
    line.add_count("n", cue_->number).add("show", cue_->show.c_str());
    send(line);
    ++cue_->sent;
    cue_->again = now + cue_again_after;
}

void AdapterSession::send_profile(std::span<const std::uint8_t> compact) {
    upload_ = Upload{{compact.begin(), compact.end()}, 0, false, now_};
    send_next_part();
}

void AdapterSession::send_next_part() {
    const std::size_t size = upload_->bytes.size();
    if (upload_->at < size) {
        LineWriter line("PART");
        line.add_count("at", static_cast<std::uint32_t>(upload_->at))
            .add_count("of", static_cast<std::uint32_t>(size))
            .add_hex("hex", upload_->bytes.data() + upload_->at, std::min(part_size, size - upload_->at));
        send(line);
        return;
    }
    if (upload_->committing) return;
    upload_->committing = true;
    LineWriter line("COMMIT");
    line.add_count("len", static_cast<std::uint32_t>(size))
        .add_hex("crc", protocol::crc32(upload_->bytes.data(), size));
    send(line);
}

void AdapterSession::finish_upload(std::vector<Heard>& heard, std::string profile, std::string fault) {
    if (!upload_) return;
    upload_.reset();
    heard.emplace_back(ProfileStored{std::move(profile), std::move(fault)});
}

void AdapterSession::ask_status() {
    LineWriter line("ASK");
    line.add("what", "status");
    send(line);
}

void AdapterSession::send(LineWriter& line) {
    const Text text = line.finish();
    outgoing_.append(text.data, text.size);
}

std::string AdapterSession::take_outgoing() {
    return std::exchange(outgoing_, {});
}

}  // namespace pairmark::link
