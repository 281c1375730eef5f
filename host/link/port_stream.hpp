// An open serial port as a stream of bytes on the event loop.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <span>
#include <string>

namespace boost::asio {
class io_context;
}

namespace pairmark::link {

/// Reads whatever comes and writes in order. Every handler runs on the event loop. After `on_end` no other
/// call comes; destroying the object closes the port and silences it.
class PortStream {
  public:
    struct Handlers {
        std::function<void(std::span<const std::uint8_t>)> on_bytes;
        std::function<void(const std::string& why)>
            on_end;  // the port is gone: unplugged, or its far end closed
    };
    /// `descriptor` as `open_serial_port` gave it; owned from here.
    PortStream(boost::asio::io_context& loop, int descriptor, Handlers handlers);
    ~PortStream();
    PortStream(const PortStream&) = delete;
    PortStream& operator=(const PortStream&) = delete;

    void write(std::string bytes);
    bool all_written() const;
    std::uint64_t bytes_read() const;
    std::uint64_t bytes_written() const;

  private:
    struct State;
    std::shared_ptr<State> state_;
};

}  // namespace pairmark::link
