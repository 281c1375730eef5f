// pairmark rules: what the programme's rules are, what they say of a pair, and the sheet for the wall.
#include <algorithm>
#include <filesystem>
#include <iostream>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>

#include "host/bench/criteria.hpp"
#include "host/bench/explanation.hpp"
#include "host/bench/rules_table.hpp"
#include "host/cli/commands.hpp"
#include "host/cli/files.hpp"
#include "host/cli/rules_source.hpp"
#include "host/cli/store_file.hpp"
#include "host/grading/remarks.hpp"
#include "host/label/criteria_sheet.hpp"
#include "host/learn/profile_json.hpp"
#include "host/learn/reports.hpp"
#include "host/record/json.hpp"
#include "host/record/sha256.hpp"

namespace pairmark::cli {
namespace {

struct Options {
    RulesSource source;
    std::int64_t pair = 0;
    std::string database;
    std::string session;
    std::string out;
    bool json = false;
    bool csv = false;
};

/// Every exception here is about a file that was named: it is wrong input.
template <typename Work>
void guarded(int& status, Work work) {
    try {
        status = work();
    } catch (const std::exception& wrong) {
        std::cerr << "pairmark: " << wrong.what() << "\n";
        status = 2;
    }
}

void tell_instrument(const NamedRules& named) {
    if (!named.config || !named.config->profile) return;
    const std::filesystem::path& file = *named.config->profile;
    learn::Reports reports;
    try {
        reports = learn::reports_of(read_file(file));
    } catch (const learn::BadProfile& bad) {
        throw std::runtime_error(file.string() + ": " + bad.what());
    }
    const grading::NeedsOfInstrument needs = grading::needs_of_instrument(named.rules);
    const auto tell = [&file](bool needed, bool reported, const char* what) {
        if (needed && !reported)
            std::cout << "remark: the instrument does not report " << what << " (" << file.string()
                      << "): a rule that needs it asks\n";
    };
    tell(needs.addition, reports.addition, "an addition");
    tell(needs.prism, reports.prism, "prism");
    tell(needs.centres, reports.centres, "the centre distance");
}

int check(const Options& options) {
    const NamedRules named = rules_of(options.source);
    const grading::Rules& rules = named.rules;
    const auto count = [&rules](record::Decision verdict) {
        return std::count_if(rules.rules.begin(), rules.rules.end(),
                             [verdict](const grading::Rule& rule) { return rule.verdict == verdict; });
    };
    std::cout << rules.name << ", " << rules.date << " (" << named.from << ")\n"
              << "SHA-256 " << record::sha256(rules.hash_text) << "\n"
              << rules.rules.size() << (rules.rules.size() == 1 ? " rule: " : " rules: ")
              << count(record::Decision::discard) << " discard, " << count(record::Decision::ask) << " ask, "
              << count(record::Decision::keep) << " keep\n";
    for (const grading::Remark& remark : grading::remarks(rules))
        std::cout << "remark: " << remark.place << " " << remark.say << "\n";
    tell_instrument(named);
    return 0;
}

std::filesystem::path events_of(const Options& options) {
    if (!options.database.empty()) return options.database;
    if (!options.session.empty()) return options.session;
    return bench::load_config(options.source.config).database;
}

int explain(const Options& options) {
    bench::PairSearch search(options.pair);
    for_each_event_of(events_of(options), [&search](const record::Event& event) { search.take(event); });
    std::optional<bench::FoundPair> found = search.found();
    if (!found) {
        std::cerr << "pairmark: there is no pair " << options.pair << "; "
                  << (search.count() == 0 ? std::string("none was begun")
                                          : "the last is " + std::to_string(search.count()))
                  << "\n";
        return 2;
    }
    if (found->pair.state == record::PairState::gone) {
        std::cerr << "pairmark: pair " << options.pair
                  << " was taken back whole: there is nothing to explain\n";
        return 1;
    }
    std::optional<grading::Rules> other;
    if (!options.source.rules.empty()) other = rules_of({options.source.rules, {}}).rules;
    const bench::Explanation explanation = bench::explain_pair(*std::move(found), std::move(other));
    if (options.json)
        std::cout << json_of(explanation).dump(-1, ' ', false, nlohmann::json::error_handler_t::replace)
                  << "\n";
    else
        std::cout << text_of(explanation);
    return 0;
}

int table(const Options& options) {
    const auto rows = bench::rules_table(rules_of(options.source).rules);
    std::cout << (options.csv ? csv_of(rows) : text_of(rows));
    return 0;
}

int sheet(const Options& options) {
    const NamedRules named = rules_of(options.source);
    const auto& config = named.config;
    const bool at_bench = config ? !config->looked_over_earlier : named.rules.needs_looking_over();
    const std::string document = label::render_criteria(
        bench::criteria_of(named.rules, config ? config->programme : named.rules.name, at_bench));
    try {
        write_whole(options.out, document);
    } catch (const std::exception& cannot) {
        std::cerr << "pairmark: " << cannot.what() << "\n";
        return 1;
    }
    return 0;
}

CLI::App* command_below(CLI::App& rules, const char* name, const char* what, const char* footer) {
    CLI::App* command = rules.add_subcommand(name, what);
    command->footer(footer);
    return command;
}

void add_check(CLI::App& rules, int& status) {
    CLI::App* command = command_below(
        rules, "check", "look the rules over: every mistake, and what is seldom meant",
        "A mistake ends with 2, and is told with its place and what was expected there. A remark is "
        "no mistake: a rule\n"
        "that depends on the cylinder's form, that asks of every pair, can never hold or always "
        "holds, two with one\n"
        "condition. With --config, also whether the instrument reports what the rules need, by its "
        "profile.\nExamples:\n"
        "  pairmark rules check --rules strict.json\n"
        "  pairmark rules check --config bench.json");
    auto options = std::make_shared<Options>();
    add_rules_source(*command, options->source);
    command->callback([options, &status] { guarded(status, [&] { return check(*options); }); });
}

void add_explain(CLI::App& rules, int& status) {
    CLI::App* command = command_below(
        rules, "explain", "why a pair got its verdict: every rule, what it saw and its limit",
        "By the rules that were in force when the pair was decided, as the bench keeps them. With --rules by "
        "those, which is\n"
        "said, and changes nothing. The pair's number stands in front of its line. The bench may run "
        "meanwhile.\nExamples:\n"
        "  pairmark rules explain 12 --config bench.json\n"
        "  pairmark rules explain 12 --session monday.jsonl --rules stricter.json");
    auto options = std::make_shared<Options>();
    command->add_option("pair", options->pair, "the pair's number, from 1")
        ->required()
        ->check(CLI::PositiveNumber);
    auto* from = command->add_option_group("where it was sorted");
    from->add_option("--config", options->source.config, "the bench's configuration; its database")
        ->type_name("FILE");
    from->add_option("--database", options->database, "the database itself")->type_name("FILE");
    from->add_option("--session", options->session, "an exported session")->type_name("FILE");
    from->require_option(1);
    command->add_option("--rules", options->source.rules, "explain by these rules instead")
        ->type_name("FILE");
    command->add_flag("--json", options->json, "one JSON object instead of text");
    command->callback([options, &status] { guarded(status, [&] { return explain(*options); }); });
}

void add_table(CLI::App& rules, int& status) {
    CLI::App* command = command_below(
        rules, "table", "what the rules say of typical pairs, and where each verdict begins and ends",
        "A heading says what all pairs of a series have in common; beneath it stand from where to where one "
        "verdict goes, with\n"
        "its tray and the rule that decides (- where none says anything). Each pair was looked over and is "
        "in "
        "order, has no\n"
        "addition, no prism, centres 62 mm apart, a full rim and a middle size, unless its heading says "
        "otherwise.\nExamples:\n"
        "  pairmark rules table --rules strict.json\n"
        "  pairmark rules table --config bench.json --csv > limits.csv");
    auto options = std::make_shared<Options>();
    add_rules_source(*command, options->source);
    command->add_flag("--csv", options->csv, "for a spreadsheet");
    command->callback([options, &status] { guarded(status, [&] { return table(*options); }); });
}

void add_sheet_of_criteria(CLI::App& rules, int& status) {
    CLI::App* command =
        command_below(rules, "sheet", "the criteria as a sheet for the wall, one or two A4 pages",
                      "Made from the rules themselves, so that what hangs there is what the bench goes by: "
                      "its foot names them "
                      "by SHA-256.\n"
                      "Hang a new one when the rules change. Rules that two pages do not hold are refused, "
                      "with what is too "
                      "long; nothing is\n"
                      "ever cut. Letters: Latin, Greek and Cyrillic, as on the labels.\nExamples:\n"
                      "  pairmark rules sheet --config bench.json --out criteria.pdf\n"
                      "  pairmark rules sheet --rules strict.json --out strict.pdf");
    auto options = std::make_shared<Options>();
    add_rules_source(*command, options->source);
    command->add_option("--out", options->out, "the PDF to write")->type_name("FILE")->required();
    command->callback([options, &status] { guarded(status, [&] { return sheet(*options); }); });
}

}  // namespace

void add_rules(CLI::App& app, int& status) {
    CLI::App* rules = app.add_subcommand(
        "rules", "look the programme's rules over, explain a verdict, print the criteria for the wall");
    rules->require_subcommand(1);
    rules->footer(
        "Without --rules or --config these commands are about the broad example programme.\nExample:\n"
        "  pairmark rules check --rules strict.json");
    add_check(*rules, status);
    add_explain(*rules, status);
    add_table(*rules, status);
    add_sheet_of_criteria(*rules, status);
}

}  // namespace pairmark::cli
