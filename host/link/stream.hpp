// The seam behind which a serial port, or a trial's cable, stands: a stream of bytes, and where streams come
// from. No clock, no event loop.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <span>
#include <string>
#include <variant>
#include <vector>

namespace pairmark::link {

/// Why a port could not be opened: what happened and the next step, each a sentence for a person.
struct OpenFault {
    std::string what;
    std::string next;
};

/// An open port. Reads whatever comes and writes in order. After `on_end` no other call comes; destroying the
/// object closes the port and silences it, which a handler of its own may do.
class Stream {
  public:
    struct Handlers {
        std::function<void(std::span<const std::uint8_t>)> on_bytes;
        std::function<void(const std::string& why)>
            on_end;  // the port is gone: unplugged, or its far end closed
    };
    virtual ~Stream() = default;
    /// Never waits and never fails: a port that is gone says so by `on_end`.
    virtual void write(std::string bytes) = 0;
    virtual bool all_written() const = 0;
    virtual std::uint64_t bytes_read() const = 0;     // handed to `on_bytes` so far
    virtual std::uint64_t bytes_written() const = 0;  // that left
};

using Opened = std::variant<std::unique_ptr<Stream>, OpenFault>;

/// Where the adapter is looked for.
class Ports {
  public:
    virtual ~Ports() = default;
    /// The ports that may be opened without being named by a person, in the order in which to try them.
    virtual std::vector<std::string> to_try() = 0;
    /// Opens a port for this program alone. No handler is called before this returns.
    virtual Opened open(const std::string& path, Stream::Handlers handlers) = 0;
};

}  // namespace pairmark::link
