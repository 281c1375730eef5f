// pairmark ports: which serial ports there are.
#include "host/link/ports.hpp"

#include <iostream>

#include "host/bench/announcer.hpp"
#include "host/cli/commands.hpp"

namespace pairmark::cli {

void add_ports(CLI::App& app, int& status) {
    CLI::App* command = app.add_subcommand("ports", "list this computer's serial ports");
    command->footer(
        "The adapter is looked for on USB ports only. A port built into the computer may drive anything, so "
        "it is opened\n"
        "only where the configuration names it. With the adapter plugged in and out, the line that comes and "
        "goes is its.\nExample:\n"
        "  pairmark ports");
    command->callback([&status] {
        const std::vector<link::PortInfo> ports = link::list_ports();
        for (const link::PortInfo& port : ports) {
            std::cout << port.path << (port.usb ? "  USB " : "  built in, opened only if named ")
                      << bench::escaped(port.usb_identity);
            if (!port.description.empty()) std::cout << "  " << bench::escaped(port.description);
            std::cout << "\n";
        }
        if (ports.empty()) std::cout << "no serial port; plug the adapter in\n";
        status = 0;
    });
}

}  // namespace pairmark::cli
