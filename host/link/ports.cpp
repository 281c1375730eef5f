#include "host/link/ports.hpp"

#include <libserialport.h>

#include <cstdio>

namespace pairmark::link {
namespace {

std::string text(const char* s) {
    return s == nullptr ? std::string() : std::string(s);
}

std::string usb_identity(sp_port* port) {
    int vendor = 0;
    int product = 0;
    std::string identity;
    if (sp_get_port_usb_vid_pid(port, &vendor, &product) == SP_OK) {
        char ids[16];
        (void)std::snprintf(ids, sizeof ids, "%04x:%04x", static_cast<unsigned>(vendor) & 0xffffU,
                            static_cast<unsigned>(product) & 0xffffU);
        identity = ids;
    }
    const std::string serial = text(sp_get_port_usb_serial(port));
    if (!serial.empty()) identity += (identity.empty() ? "serial " : " serial ") + serial;
    return identity;
}

}  // namespace

std::vector<PortInfo> list_ports() {
    std::vector<PortInfo> found;
    sp_port** ports = nullptr;
    if (sp_list_ports(&ports) != SP_OK || ports == nullptr) return found;
    for (sp_port** port = ports; *port != nullptr; ++port) {
        PortInfo info;
        info.path = text(sp_get_port_name(*port));
        info.description = text(sp_get_port_description(*port));
        info.usb = sp_get_port_transport(*port) == SP_TRANSPORT_USB;
        if (info.usb) info.usb_identity = usb_identity(*port);
        found.push_back(std::move(info));
    }
    sp_free_port_list(ports);
    return found;
}

std::vector<std::string> ports_to_try() {
    std::vector<std::string> paths;
    for (const PortInfo& port : list_ports())
        if (port.usb) paths.push_back(port.path);
    return paths;
}

}  // namespace pairmark::link
