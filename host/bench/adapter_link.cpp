#include "host/bench/adapter_link.hpp"

#include <algorithm>

namespace pairmark::bench {
namespace {

using namespace std::chrono_literals;
using record::LinkHealth;

// Not faster than 1 Hz: looking for a port costs the computer something, and a person needs seconds to plug
// one in.
constexpr Milliseconds try_again_after = 1s;

// An adapter introduces itself every 2 s, once it knows that its host is gone: that takes it 12 s where the
// program was ended and started again. What says nothing by then is another device (a port that was tried),
// or silent (a named one). A known stranger gets time for a greeting only.
constexpr Milliseconds hear_out = 15s;
constexpr Milliseconds hear_out_again = 5s;

}  // namespace

AdapterLink::AdapterLink(link::Ports& ports, Timers& timers, std::optional<std::string> port,
                         Handlers handlers)
    : ports_(ports), timers_(timers), port_(std::move(port)), handlers_(std::move(handlers)) {}

AdapterLink::~AdapterLink() {
    if (wake_) timers_.cancel(*wake_);
    if (retry_) timers_.cancel(*retry_);
}

void AdapterLink::start() {
    open_next();
}

LinkHealth AdapterLink::health() const {
    return session_ ? session_->health() : LinkHealth::absent;
}

void AdapterLink::open_next() {
    retry_.reset();
    const std::vector<std::string> paths = port_ ? std::vector<std::string>{*port_} : ports_.to_try();
    // What was unplugged and comes again may be another device.
    std::erase_if(strangers_, [&paths](const std::string& path) {
        return std::find(paths.begin(), paths.end(), path) == paths.end();
    });
    if (paths.empty()) {
        say(LinkHealth::absent,
            "no adapter: this computer has no USB serial port; plug the adapter in, or name its port in the "
            "configuration");
    } else {
        const std::string& path = paths[tries_++ % paths.size()];
        auto result = ports_.open(path, {[this](std::span<const std::uint8_t> data) { bytes(data); },
                                         [this](const std::string& why) { ended(why); }});
        if (auto* stream = std::get_if<std::unique_ptr<link::Stream>>(&result)) {
            path_ = path;
            return opened(std::move(*stream));
        }
        const auto& fault = std::get<link::OpenFault>(result);
        say(LinkHealth::absent, fault.what + "; " + fault.next);
    }
    retry_ = timers_.after(try_again_after, [this] { open_next(); });
}

void AdapterLink::opened(std::unique_ptr<link::Stream> stream) {
    opened_at_ = timers_.now();
    session_.emplace(opened_at_);
    stream_ = std::move(stream);
    if (!strangers_.contains(path_))
        say(LinkHealth::opening, path_ + " is open; waiting for the adapter to introduce itself");
    wake_later();
}

void AdapterLink::ended(const std::string& why) {
    close();
    if (!strangers_.contains(path_))
        say(LinkHealth::absent,
            "the adapter's port " + path_ + " is gone (" + why + "); plug it in again, nothing is lost");
}

/// A port that was tried, on which nothing spoke in time.
void AdapterLink::not_ours() {
    close();
    if (strangers_.insert(path_).second)
        say(LinkHealth::absent, "what is plugged in at " + path_ +
                                    " does not speak as an adapter does; if it is the adapter, look whether "
                                    "its power lamp is on, or name its port in the configuration; it is "
                                    "tried again");
}

void AdapterLink::close() {
    closed_.read += stream_->bytes_read();
    closed_.written += stream_->bytes_written();
    session_.reset();
    stream_.reset();
    if (wake_) timers_.cancel(*wake_);
    wake_.reset();
    retry_ = timers_.after(try_again_after, [this] { open_next(); });
}

void AdapterLink::bytes(std::span<const std::uint8_t> data) {
    hear(session_->take(data, timers_.now()));
    flush();
}

void AdapterLink::hear(const std::vector<link::Heard>& heard) {
    for (const link::Heard& one : heard) {
        if (const auto* changed = std::get_if<link::HealthChanged>(&one)) {
            if (changed->health == LinkHealth::silent)
                say_silent();
            else if (changed->health == LinkHealth::healthy) {
                strangers_.clear();
                say(LinkHealth::healthy, "the adapter on " + path_ + " is ready");
            }
        }
        handlers_.on_heard(one);
    }
}

void AdapterLink::flush() {
    if (!session_ || !stream_) return;
    std::string out = session_->take_outgoing();
    if (!out.empty()) stream_->write(std::move(out));
    wake_later();
}

void AdapterLink::cue(const std::string& show) {
    if (!session_) return;
    session_->cue(show, timers_.now());
    flush();
}

void AdapterLink::wake_later() {
    if (wake_) timers_.cancel(*wake_);
    wake_.reset();
    if (!session_) return;
    const Milliseconds at = session_->next_wake();
    if (at == Milliseconds::max()) {
        // Silent. Where ports are tried in turn, the next one has its chance; a named port is kept and
        // listened to.
        const Milliseconds until = opened_at_ + (strangers_.contains(path_) ? hear_out_again : hear_out);
        if (port_ && timers_.now() >= until) return say_silent();
        wake_ = timers_.after(std::max(until - timers_.now(), Milliseconds(0)), [this] {
            wake_.reset();
            port_ ? say_silent() : not_ours();
        });
        return;
    }
    wake_ = timers_.after(std::max(at - timers_.now(), Milliseconds(0)), [this] {
        wake_.reset();
        hear(session_->pass(timers_.now()));
        flush();
    });
}

void AdapterLink::say_silent() {
    say(LinkHealth::silent, "the adapter on " + path_ +
                                " is silent; look whether its power lamp is on and its cable sits, or unplug "
                                "it and plug it in again");
}

void AdapterLink::say(LinkHealth health, const std::string& sentence) {
    if (sentence == said_) return;
    said_ = sentence;
    handlers_.on_health(health, sentence);
}

StreamProgress AdapterLink::progress() const {
    StreamProgress at = closed_;
    if (!stream_) return at;
    at.read += stream_->bytes_read();
    at.written += stream_->bytes_written();
    at.settled = stream_->all_written();
    at.open = true;
    return at;
}

}  // namespace pairmark::bench
