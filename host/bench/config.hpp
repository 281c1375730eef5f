// The bench's configuration: one JSON file (host/bench/config.schema.json).
#pragma once

#include <chrono>
#include <filesystem>
#include <optional>
#include <stdexcept>
#include <string>

#include "host/bench/filing.hpp"
#include "host/bench/label_settings.hpp"

namespace pairmark::bench {

struct Config {
    std::string programme = "Spectacles programme";  // printed on every label
    std::string bench = "A1";                        // 1 to 4 of A-Z 0-9: begins every label number
    std::filesystem::path database = "pairmark.db";
    std::filesystem::path labels = "labels";
    std::optional<std::string> port;  // the adapter's serial port; none: USB ports are tried
    std::optional<std::filesystem::path>
        profile;  // the instrument's profile; none: the adapter keeps what it has
    std::optional<std::filesystem::path> rules;  // the programme's rules; none: the broad example
    bool looked_over_earlier = true;
    std::chrono::minutes half_pair_after{5};  // 1 to 120
    std::chrono::seconds late_after{30};      // 1 to 3600
    FilingPlan filing;
    LabelSettings label;
};

/// The file is wrong. `what()` lists every mistake with its place and what was expected.
struct BadConfig : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// Reads a configuration, and makes a trial label by it. Relative paths in it are taken from `folder`. Throws
/// BadConfig.
Config parse_config(const std::string& text, const std::filesystem::path& folder);
/// The same from a file; also BadConfig if it cannot be read.
Config load_config(const std::filesystem::path& file);

/// The part that decides or is printed, as the text that a session carries (role "settings").
std::string settings_text(const Config& config);
/// What a session's settings text says; what an earlier version did not say is as it was then. Throws
/// BadConfig.
struct Settings {
    std::string programme;
    bool looked_over_earlier = true;
    FilingPlan filing;
    LabelSettings label;
};
Settings parse_settings(const std::string& text);

}  // namespace pairmark::bench
