// What a command asks of the running daemon, as one JSON line.
#pragma once

#include <string>

#include "host/record/event.hpp"
#include "host/record/json.hpp"

namespace pairmark::bench {

std::string request_of(const record::Acted& act);
/// Throws record::BadRecord with the place of the mistake.
record::Acted act_from_request(const std::string& request);

}  // namespace pairmark::bench
