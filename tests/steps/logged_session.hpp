// A logged session turned back into what made it: the adapter's lines, the person's acts, the time-outs and
// the daemon's starts, in their order.
#pragma once

#include <chrono>
#include <filesystem>
#include <string>
#include <variant>
#include <vector>

#include "host/bench/config.hpp"
#include "host/record/event.hpp"
#include "protocol/event_record.hpp"

namespace pairmark::steps {

/// The daemon is stopped, if it runs, and started.
struct Start {};
struct AdapterEvent {
    protocol::EventLine line;
    std::string adapter;
    bool link_healthy = true;
};
struct HalfPairOld {
    std::int64_t pair = 0;
};

struct Input {
    std::chrono::system_clock::time_point at;
    std::variant<Start, record::Greeted, AdapterEvent, record::Acted, HalfPairOld> what;
    std::size_t act = 0;  // of a person's act: how many came before it
};

struct LoggedSession {
    std::string name;
    bench::Config config;  // its paths are the trial's to set
    std::string rules;
    std::vector<Input> inputs;  // the first is a Start
    std::size_t events = 0;     // how many come from the adapter

    /// The last greeting before input `i`, as a daemon hears it that has just been started; none before the
    /// first.
    const record::Greeted* greeting_before(std::size_t i) const;
};

/// Reads FOLDER/NAME.jsonl of the logged sessions. Throws std::runtime_error if it is none.
LoggedSession read_logged(const std::string& name);
/// Of the logged sessions, in the order of the alphabet.
std::vector<std::string> logged_names();
std::filesystem::path folder_of_sessions();

}  // namespace pairmark::steps
