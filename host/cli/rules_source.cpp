#include "host/cli/rules_source.hpp"

#include <CLI/CLI.hpp>

#include "host/cli/files.hpp"

namespace pairmark::cli {

void add_rules_source(CLI::App& command, RulesSource& source) {
    auto* rules = command
                      .add_option("--rules", source.rules,
                                  "the programme's rules (docs/rules.md); without it the example's")
                      ->type_name("FILE");
    command.add_option("--config", source.config, "a bench's configuration: the rules that it names")
        ->type_name("FILE")
        ->excludes(rules);
}

NamedRules rules_of(const RulesSource& source) {
    NamedRules named;
    std::string file = source.rules;
    if (!source.config.empty()) {
        named.config = bench::load_config(source.config);
        if (named.config->rules) file = named.config->rules->string();
    }
    named.from = file.empty() ? "the example programme" : file;
    const std::string text = file.empty() ? std::string(grading::default_rules_text()) : read_file(file);
    try {
        named.rules = grading::parse_rules(text);
    } catch (grading::BadRules& bad) {
        // The mistakes' places stand in that file.
        throw std::runtime_error(named.from + ": " + bad.what());
    }
    return named;
}

}  // namespace pairmark::cli
