// This computer's serial ports, served by its event loop.
#pragma once

#include "host/link/stream.hpp"

namespace boost::asio {
class io_context;
}

namespace pairmark::link {

/// Every handler of a stream runs on `loop`, which must outlive the streams.
class ComputerPorts final : public Ports {
  public:
    explicit ComputerPorts(boost::asio::io_context& loop) : loop_(loop) {}
    /// As `ports_to_try`.
    std::vector<std::string> to_try() override;
    /// As `open_serial_port`.
    Opened open(const std::string& path, Stream::Handlers handlers) override;

  private:
    boost::asio::io_context& loop_;
};

}  // namespace pairmark::link
