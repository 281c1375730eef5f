// pairmark replay: a session again, from its file alone.
#include "host/bench/replay.hpp"

#include <filesystem>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <string>

#include "host/bench/announcer.hpp"
#include "host/cli/commands.hpp"
#include "host/cli/files.hpp"
#include "host/label/refused.hpp"
#include "host/label/render.hpp"
#include "host/printing/folder.hpp"
#include "host/record/json.hpp"

namespace pairmark::cli {
namespace {

using nlohmann::json;

struct Options {
    std::string session;
    std::string rules;
    std::string labels;
    bool json = false;
};

/// Writes the labels that the session made; counts those that could not be written.
class LabelWriter {
  public:
    explicit LabelWriter(const std::string& folder) : folder_(folder), out_(folder) {
        std::filesystem::create_directories(folder_);
    }
    void write(const record::LabelFacts& facts, const record::LabelPaper& paper) {
        try {
            const printing::Result result =
                out_.write({facts.number, facts.copy, label::render_document(facts, paper)});
            if (result.outcome == record::PrintOutcome::printed) return;
            say(facts.number + ": " + result.say);
        } catch (const label::LabelRefused& refused) {
            say(facts.number + ": " + refused.what());
        }
    }
    int faults() const { return faults_; }

  private:
    void say(const std::string& what) {
        ++faults_;
        std::cerr << "pairmark: label " << what << "\n";
    }
    std::string folder_;
    printing::Folder out_;
    int faults_ = 0;
};

json counts(const bench::Replayed& replayed) {
    return {{"events", replayed.events},
            {"readings", replayed.readings},
            {"pairs", replayed.pairs.size()},
            {"keep", replayed.count(record::Decision::keep)},
            {"discard", replayed.count(record::Decision::discard)},
            {"ask", replayed.count(record::Decision::ask)},
            {"labels", replayed.labels},
            {"numbers", replayed.numbers},
            {"labels_refused", replayed.refused}};
}

json pair_json(const bench::ReplayedPair& one) {
    return {{"pair", one.pair.id},
            {"state", record::word(one.pair.state)},
            {"verdict", record::to_json(one.verdict)},
            {"number", one.number},
            {"place", one.place}};
}

json change_json(const bench::Difference& one) {
    return {{"pair", one.after->pair.id},
            {"before", record::to_json(one.before->verdict)},
            {"after", record::to_json(one.after->verdict)},
            {"number", one.before->number}};
}

void print_text(const bench::Replayed& replayed, const std::vector<bench::Difference>& changes,
                bool other_rules) {
    if (!other_rules)
        for (const bench::ReplayedPair& one : replayed.pairs)
            std::cout << bench::pair_line(one.pair, one.verdict, one.number, one.place) << "\n";
    for (const bench::Difference& change : changes)
        std::cout << record::word(change.before->verdict.decision) << " -> "
                  << record::word(change.after->verdict.decision)
                  << (change.before->number.empty() ? "" : "  (has label " + change.before->number + ")")
                  << "\n  " << bench::pair_line(change.after->pair, change.after->verdict, {}, {}) << "\n";
    std::cout << replayed.readings << " readings, " << replayed.pairs.size()
              << " pairs: " << replayed.count(record::Decision::keep) << " keep, "
              << replayed.count(record::Decision::discard) << " discard, "
              << replayed.count(record::Decision::ask) << " ask; " << replayed.labels << " labels\n";
    if (other_rules) std::cout << changes.size() << " pairs would change\n";
}

int run_replay(const Options& options) {
    const std::vector<record::Event> events = read_session_file(options.session);
    std::optional<grading::Rules> rules;
    if (!options.rules.empty()) rules = grading::parse_rules(read_file(options.rules));
    std::optional<LabelWriter> labels;
    if (!options.labels.empty()) labels.emplace(options.labels);
    const bool other_rules = rules.has_value();
    const bench::Replayed replayed =
        bench::replay(events, std::move(rules),
                      [&labels](const record::LabelFacts& facts, const record::LabelPaper& paper) {
                          if (labels) labels->write(facts, paper);
                      });
    std::optional<bench::Replayed> before;
    std::vector<bench::Difference> changes;
    if (other_rules) {
        before = bench::replay(events, std::nullopt, {});
        changes = bench::differences(*before, replayed);
    }
    if (options.json) {
        json out = counts(replayed);
        json pairs = json::array();
        for (const bench::ReplayedPair& one : replayed.pairs)
            pairs.push_back(pair_json(one));
        out["all"] = std::move(pairs);
        if (other_rules) {
            json changed = json::array();
            for (const bench::Difference& one : changes)
                changed.push_back(change_json(one));
            out["changes"] = std::move(changed);
        }
        std::cout << out.dump(-1, ' ', false, json::error_handler_t::replace) << "\n";
    } else {
        print_text(replayed, changes, other_rules);
    }
    return labels && labels->faults() > 0 ? 1 : 0;
}

}  // namespace

void add_replay(CLI::App& app, int& status) {
    CLI::App* command =
        app.add_subcommand("replay", "play an exported session again: same pairs, verdicts and labels");
    auto options = std::make_shared<Options>();
    command->add_option("session", options->session, "a file made by `pairmark session export`")->required();
    command->add_option("--rules", options->rules,
                        "judge by these rules instead, and show which pairs would change");
    command->add_option("--labels", options->labels, "write the session's labels into this folder");
    command->add_flag("--json", options->json, "one JSON object instead of text");
    command->footer(
        "Nothing but the file is read. Labels come out byte for byte as they did on the day. With --rules, a "
        "pair that has a\n"
        "label and would no longer be kept is named with its label; nothing on the bench changes.\n"
        "Example:\n"
        "  pairmark replay monday.jsonl --rules stricter.json");
    command->callback([options, &status] {
        try {
            status = run_replay(*options);
        } catch (const std::exception& wrong) {
            // Every exception here is about a file that was named: it is wrong input, and nothing was written
            // for it.
            std::cerr << "pairmark: " << wrong.what() << "\n";
            status = 2;
        }
    });
}

}  // namespace pairmark::cli
