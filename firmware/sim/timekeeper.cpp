#include "firmware/sim/timekeeper.hpp"

#include <poll.h>
#include <time.h>

#include <algorithm>
#include <cstdio>

namespace pairmark::sim {
namespace {

constexpr uint64_t slice = clock_hz / 1000;
constexpr uint64_t longest_without_tick = clock_hz;
/// Registers behind a lamp or tone are stored one after another; only what stands this much later is told.
constexpr uint64_t settling = 200 * cycles_per_us;
constexpr int patience_ms = 5000;
constexpr size_t wire_holds = 4096;

bool is_readable(int descriptor) {
    pollfd waiting{descriptor, POLLIN, 0};
    return poll(&waiting, 1, 0) > 0;
}

}  // namespace

Timekeeper::Timekeeper(Board& board, PtyPort& host, PtyPort& instrument, Clients& clients,
                       std::function<void()> save)
    : board_(board),
      host_(host),
      instrument_(instrument),
      clients_(clients),
      save_(std::move(save)),
      shown_(look()) {
    board_.host_port().on_sent = [this](uint8_t byte) {
        host_out_ += static_cast<char>(byte);
        if (byte == '\n') {
            line_sent_ = true;
            board_.stop();
        }
    };
    board_.instrument_port().on_sent = [this](uint8_t byte) { instrument_out_ += static_cast<char>(byte); };
    board_.pins().on_store = [this] { watch_pins(); };
    clients_.on_line = [this](Client& client, const ClientLine& line) { obey(client, line); };
    clients_.on_gone = [this](Client& client) { forget(client); };
}

Timekeeper::~Timekeeper() {
    board_.host_port().on_sent = nullptr;
    board_.instrument_port().on_sent = nullptr;
    board_.pins().on_store = nullptr;
    clients_.on_line = nullptr;
    clients_.on_gone = nullptr;
}

Timekeeper::Shown Timekeeper::look() const {
    return {board_.lamps(), board_.tone_hz(), board_.state()};
}

void Timekeeper::watch_pins() {
    if (settles_at_ != never || look() == shown_) return;
    settles_at_ = board_.cycle() + settling;
    board_.stop();
}

UartModel* Timekeeper::port_of(const Client& client, PtyPort** pty) {
    *pty = client.name == "host" ? &host_ : client.name == "instrument" ? &instrument_ : nullptr;
    if (*pty == nullptr) return nullptr;
    return *pty == &host_ ? &board_.host_port() : &board_.instrument_port();
}

void Timekeeper::obey(Client& client, const ClientLine& line) {
    switch (line.kind) {
        case ClientLine::Kind::join:
            client.name = line.name;
            client.timed = line.timed;
            was_timed_ |= line.timed;
            ++joined_;
            company_changed_ = true;
            if (!fast_ || !line.timed) clients_.send(client, tick_line());
            break;
        case ClientLine::Kind::key:
            board_.pins().press(line.key, line.down);
            break;
        case ClientLine::Kind::power_cut:
            board_.power_cut();
            watch_pins();
            break;
        case ClientLine::Kind::power_on:
            board_.power_on();
            watch_pins();
            break;
        case ClientLine::Kind::reset:
            board_.press_reset();
            watch_pins();
            break;
        case ClientLine::Kind::save:
            save_();
            break;
        case ClientLine::Kind::idle:
            if (fast_) take_idle(client, line);
            break;
    }
}

void Timekeeper::take_idle(Client& client, const ClientLine& line) {
    client.owes_idle = false;
    client.wake_us = line.wake_us;
    PtyPort* pty = nullptr;
    UartModel* port = port_of(client, &pty);
    if (port == nullptr || line.wrote <= client.taken) return;
    const auto promised = static_cast<size_t>(line.wrote - client.taken);
    const auto bytes = pty->receive_exactly(promised, patience_ms);
    if (bytes.size() != promised)
        (void)std::fprintf(stderr, "simboard: %s promised %zu bytes and wrote %zu\n", client.name.c_str(),
                           promised, bytes.size());
    client.taken = line.wrote;
    for (const uint8_t byte : bytes)
        port->feed(byte);
}

void Timekeeper::forget(Client& client) {
    if (client.name.empty()) return;
    company_changed_ = true;
    PtyPort* pty = nullptr;
    if (UartModel* port = port_of(client, &pty); port != nullptr && fast_)
        for (const uint8_t byte : pty->receive())  // what it wrote before it went is on the wire already
            port->feed(byte);
}

void Timekeeper::flush() {
    if (!host_out_.empty()) host_.send(host_out_);
    if (!instrument_out_.empty()) instrument_.send(instrument_out_);
    host_out_.clear();
    instrument_out_.clear();
}

std::string Timekeeper::tick_line() const {
    char text[160];
    (void)std::snprintf(
        text, sizeof text, "tick t=%llu host=%llu instrument=%llu lamps=%s tone=%u state=%s\n",
        static_cast<unsigned long long>(board_.micros()), static_cast<unsigned long long>(host_.sent()),
        static_cast<unsigned long long>(instrument_.sent()), lamp_text(board_.lamps()).c_str(),
        board_.tone_hz(), board_.state() == BoardState::running ? "running" : "dead");
    return text;
}

void Timekeeper::tell_watchers(bool everybody) {
    for (Client& client : clients_.all())
        if (!client.name.empty() && !client.gone && (everybody || !client.timed))
            clients_.send(client, tick_line());
}

void Timekeeper::tell_timed() {
    for (Client& client : clients_.all()) {
        if (client.timed && !client.gone && !client.owes_idle) {
            client.owes_idle = true;
            client.wake_us = never;
            clients_.send(client, tick_line());
        }
    }
    line_sent_ = false;
    company_changed_ = false;
    last_tick_ = board_.cycle();
}

void Timekeeper::run_real_time(int ends) {
    timespec next{};
    clock_gettime(CLOCK_MONOTONIC, &next);
    while (!is_readable(ends)) {
        clients_.poll(0, ends);
        for (const auto& [pty, port] :
             {std::pair{&host_, &board_.host_port()}, std::pair{&instrument_, &board_.instrument_port()}})
            if (port->on_wire() < wire_holds)
                for (const uint8_t byte : pty->receive(wire_holds))
                    port->feed(byte);
        const uint64_t goal = board_.cycle() + slice;
        while (!board_.run_until(goal)) {
        }
        settles_at_ = never;
        flush();
        if (const Shown now = look(); now != shown_) {
            shown_ = now;
            tell_watchers(true);
        }
        next.tv_nsec += 1'000'000;
        if (next.tv_nsec >= 1'000'000'000) {
            next.tv_nsec -= 1'000'000'000;
            ++next.tv_sec;
        }
        timespec now{};
        clock_gettime(CLOCK_MONOTONIC, &now);
        const int64_t behind_ms =
            (now.tv_sec - next.tv_sec) * 1000 + (now.tv_nsec - next.tv_nsec) / 1'000'000;
        if (behind_ms > 100) next = now;
        clock_nanosleep(CLOCK_MONOTONIC, TIMER_ABSTIME, &next, nullptr);
    }
}

bool Timekeeper::time_may_go(unsigned expected) const {
    if (joined_ < expected) return false;
    bool timed = false;
    for (const Client& client : clients_.all()) {
        timed |= client.timed;
        if (client.timed && client.owes_idle) return false;
    }
    return timed || (expected == 0 && !was_timed_);
}

uint64_t Timekeeper::next_stop() const {
    uint64_t stop = std::min(last_tick_ + longest_without_tick, settles_at_);
    for (const Client& client : clients_.all())
        if (client.timed && client.wake_us < never / cycles_per_us)
            stop = std::min(stop, client.wake_us * cycles_per_us);
    return std::max(stop, board_.cycle() + cycles_per_us);  // time that may go does go
}

bool Timekeeper::tick_is_due() const {
    if (line_sent_ || company_changed_ || board_.cycle() >= last_tick_ + longest_without_tick) return true;
    return std::any_of(clients_.all().begin(), clients_.all().end(), [this](const Client& client) {
        return client.timed && client.wake_us <= board_.micros();
    });
}

void Timekeeper::run_fast(int ends, unsigned expected) {
    fast_ = true;
    bool goes = false;
    while (!is_readable(ends)) {
        clients_.poll(goes ? 0 : -1, ends);
        // A newcomer is told before time goes on, and so is everybody who had answered already.
        if (company_changed_ && joined_ >= expected) tell_timed();
        goes = time_may_go(expected);
        if (!goes) continue;
        board_.run_until(next_stop());
        flush();
        bool changed = false;
        if (board_.cycle() >= settles_at_ || board_.state() != shown_.state) {
            settles_at_ = never;
            const Shown now = look();
            changed = now != shown_;
            shown_ = now;
        }
        if (changed) tell_watchers(false);
        if (changed || tick_is_due()) tell_timed();
    }
}

}  // namespace pairmark::sim
