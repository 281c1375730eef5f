// Which serial ports there are, and which of them may be opened.
#pragma once

#include <string>
#include <vector>

namespace pairmark::link {

/// A serial port of this computer.
struct PortInfo {
    std::string path;         // device file
    std::string description;  // as the system describes it; empty if it does not
    bool usb = false;
    std::string usb_identity;  // "2341:0042 serial 7563" where it is USB
};

/// Every port that the system lists, in its order. Empty if there is none or the system does not answer.
std::vector<PortInfo> list_ports();

/// The ports in which an adapter is looked for when no port is named: USB ones only. A port built into the
/// computer may drive anything, so it is never opened unless a person names it.
std::vector<std::string> ports_to_try();

}  // namespace pairmark::link
