// The Unix socket over which programs share the board's time and touch its keys.
#pragma once

#include <cstdint>
#include <functional>
#include <list>
#include <string>
#include <string_view>

#include "firmware/sim/client_line.hpp"

namespace pairmark::sim {

struct Client {
    int descriptor = -1;
    std::string unread;  // what came after the last line end
    std::string name;    // empty until it joined
    bool timed = false;
    bool owes_idle = false;    // was told a tick and has not answered
    uint64_t wake_us = never;  // board time at which it wants a tick
    uint64_t taken = 0;        // bytes taken from its pty since it joined
    bool gone = false;
};

class Clients {
  public:
    /// Listens at `path`, for this user only. An old socket there is replaced. Throws std::runtime_error.
    explicit Clients(std::string path);
    ~Clients();
    Clients(const Clients&) = delete;
    Clients& operator=(const Clients&) = delete;

    std::function<void(Client&, const ClientLine&)> on_line;
    std::function<void(Client&)> on_gone;  // called once, the client is removed afterwards

    /// Waits up to `timeout_ms` (-1: for ever, 0: not at all) for clients, or for `also` to become readable,
    /// and handles all that came.
    void poll(int timeout_ms, int also);

    /// A client that does not read is dropped: it must never hold up the board.
    void send(Client& client, std::string_view text);

    std::list<Client>& all() { return clients_; }

  private:
    void accept_new();
    void read_from(Client& client);
    void drop(Client& client);

    std::string path_;
    int listener_ = -1;
    std::list<Client> clients_;
};

}  // namespace pairmark::sim
