// The commands of the one program. Each adds itself to the command line, with help that teaches, and sets
// `status` (the exit status) when it ran: 0 done, 1 could not be done, 2 something in the input was wrong.
#pragma once

#include <CLI/CLI.hpp>

namespace pairmark::cli {

void add_run(CLI::App& app, int& status);
void add_replay(CLI::App& app, int& status);
void add_session(CLI::App& app, int& status);
void add_verify(CLI::App& app, int& status);
void add_ports(CLI::App& app, int& status);
void add_label(CLI::App& app, int& status);
void add_labels(CLI::App& app, int& status);
void add_shelf(CLI::App& app, int& status);
void add_sheet(CLI::App& app, int& status);
void add_rules(CLI::App& app, int& status);
void add_mark(CLI::App& app, int& status);
void add_decode(CLI::App& app, int& status);

}  // namespace pairmark::cli
