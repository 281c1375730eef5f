// Which rules a command is about: a file, a bench's own, or the example.
#pragma once

#include <optional>
#include <string>

#include "host/bench/config.hpp"
#include "host/grading/rules.hpp"

namespace CLI {
class App;
}

namespace pairmark::cli {

struct RulesSource {
    std::string rules;   // a file's name, or empty
    std::string config;  // a bench's configuration, or empty
};

/// Adds --rules and --config, of which at most one may be given.
void add_rules_source(CLI::App& command, RulesSource& source);

struct NamedRules {
    grading::Rules rules;
    std::string from;                     // the file, or "the example programme"
    std::optional<bench::Config> config;  // where the source is a bench
};

/// Throws bench::BadConfig, or std::runtime_error with the file's name: it cannot be read, or it has
/// mistakes, all of which are listed.
NamedRules rules_of(const RulesSource& source);

}  // namespace pairmark::cli
