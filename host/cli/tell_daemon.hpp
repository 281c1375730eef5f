// Asking the running daemon to do something, by a command.
#pragma once

#include <string>

#include "host/record/event.hpp"

namespace pairmark::cli {

/// Sends the act to the bench that runs with this configuration and shows its answer. Returns the command's
/// status: 0 where it answered, 1 (and why, on standard error) where it refused. Throws std::runtime_error if
/// no daemon answers, bench::BadConfig if the configuration is wrong.
int tell_daemon(const std::string& config, const record::Acted& act);

}  // namespace pairmark::cli
