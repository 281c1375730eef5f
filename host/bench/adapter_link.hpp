// Keeps the link to the adapter: finds the port, opens it, opens it again when it went, lets the session
// breathe.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "host/bench/stream_progress.hpp"
#include "host/bench/timers.hpp"
#include "host/link/adapter_session.hpp"
#include "host/link/stream.hpp"

namespace pairmark::bench {

class AdapterLink {
  public:
    struct Handlers {
        std::function<void(const link::Heard&)> on_heard;
        /// The link's health in one word, and a sentence with the next step; told when either changes.
        std::function<void(record::LinkHealth, const std::string& say)> on_health;
    };
    /// `port`: the port that the user named; none: what `ports` lists is tried in turn until an adapter
    /// speaks.
    AdapterLink(link::Ports& ports, Timers& timers, std::optional<std::string> port, Handlers handlers);
    ~AdapterLink();
    AdapterLink(const AdapterLink&) = delete;
    AdapterLink& operator=(const AdapterLink&) = delete;

    void start();
    /// The session, while a port is open; null otherwise. After using it call `flush`.
    link::AdapterSession* session() { return session_ ? &*session_ : nullptr; }
    void flush();
    void cue(const std::string& show);
    record::LinkHealth health() const;
    /// The port that is open, or was open last; empty: none ever was.
    const std::string& path() const { return path_; }
    StreamProgress progress() const;

  private:
    void open_next();
    void opened(std::unique_ptr<link::Stream> stream);
    void ended(const std::string& why);
    void close();
    void bytes(std::span<const std::uint8_t> data);
    void hear(const std::vector<link::Heard>& heard);
    void wake_later();
    void say_silent();
    void not_ours();
    void say(record::LinkHealth health, const std::string& sentence);

    link::Ports& ports_;
    Timers& timers_;
    std::optional<std::string> port_;
    Handlers handlers_;
    std::unique_ptr<link::Stream> stream_;
    std::optional<link::AdapterSession> session_;
    std::string path_;
    Milliseconds opened_at_{0};
    std::size_t tries_ = 0;
    std::optional<TimerId> wake_;
    std::optional<TimerId> retry_;
    std::string said_;
    std::set<std::string> strangers_;  // ports on which nothing spoke: said once
    StreamProgress closed_;            // bytes of streams that were closed since
};

}  // namespace pairmark::bench
