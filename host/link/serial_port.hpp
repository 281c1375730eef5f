// Opening a serial port for this program alone.
#pragma once

#include <string>
#include <variant>

#include "host/link/stream.hpp"

namespace pairmark::link {

/// Opens `path` raw, 8N1, 115200 baud (USB adapters ignore the rate), not blocking, and takes it exclusively:
/// the lock and the terminal flag both, since other programs look at one or the other. HUPCL is off: closing
/// the port must not reset the board. Links such as /dev/serial/by-id are followed. Gives the file
/// descriptor, which the caller owns.
std::variant<int, OpenFault> open_serial_port(const std::string& path);

/// Takes away the terminal flag that `open_serial_port` set; to be called before the port is closed. Where
/// another program has the port open too, the flag would outlast us and lock out whoever comes next. A port
/// that does not obey is left as it is.
void unmark_serial_port(int descriptor);

}  // namespace pairmark::link
