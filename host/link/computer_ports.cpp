#include "host/link/computer_ports.hpp"

#include "host/link/port_stream.hpp"
#include "host/link/ports.hpp"
#include "host/link/serial_port.hpp"

namespace pairmark::link {

std::vector<std::string> ComputerPorts::to_try() {
    return ports_to_try();
}

Opened ComputerPorts::open(const std::string& path, Stream::Handlers handlers) {
    auto result = open_serial_port(path);
    if (const int* descriptor = std::get_if<int>(&result))
        return std::make_unique<PortStream>(loop_, *descriptor, std::move(handlers));
    return std::get<OpenFault>(std::move(result));
}

}  // namespace pairmark::link
