// An open serial port as a stream of bytes on the event loop.
#pragma once

#include <cstdint>
#include <memory>
#include <string>

#include "host/link/stream.hpp"

namespace boost::asio {
class io_context;
}

namespace pairmark::link {

/// Every handler runs on the event loop.
class PortStream final : public Stream {
  public:
    /// `descriptor` as `open_serial_port` gave it; owned from here.
    PortStream(boost::asio::io_context& loop, int descriptor, Handlers handlers);
    ~PortStream() override;
    PortStream(const PortStream&) = delete;
    PortStream& operator=(const PortStream&) = delete;

    void write(std::string bytes) override;
    bool all_written() const override;
    std::uint64_t bytes_read() const override;
    std::uint64_t bytes_written() const override;

  private:
    struct State;
    std::shared_ptr<State> state_;
};

}  // namespace pairmark::link
