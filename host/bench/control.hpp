// Where other commands of this program reach the running daemon: a Unix socket beside the database, for its
// user alone. One JSON line in, one JSON line out, then the connection ends.
//
// Trust: anyone who may open the socket. Invariants: a request is at most 4096 bytes; a client that says
// nothing for 10 s is dropped; at most 8 at once; a request is answered or refused, and never delays the
// bench.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <string>

#include "host/bench/timers.hpp"

namespace boost::asio {
class io_context;
}

namespace pairmark::bench {

class Control {
  public:
    using Answer = std::function<std::string(const std::string& request)>;
    /// Listens at `path` once `open` is called; what an ended daemon left there is replaced.
    Control(boost::asio::io_context& loop, Timers& timers, std::filesystem::path path, Answer answer);
    ~Control();
    /// A sentence if it cannot listen; empty if it does.
    std::string open();

  private:
    struct State;
    std::shared_ptr<State> state_;
};

/// Where the daemon with this database listens.
std::filesystem::path control_path(const std::filesystem::path& database);

/// Sends one request to a running daemon and gives its answer. Throws std::runtime_error, with the next step,
/// if none runs.
std::string ask_daemon(const std::filesystem::path& path, const std::string& request);

}  // namespace pairmark::bench
