// pairmark mark: what a lens meter cannot see, told to the running daemon.
#include "host/record/mark.hpp"

#include <memory>
#include <string>
#include <vector>

#include "host/bench/columns.hpp"
#include "host/cli/commands.hpp"
#include "host/cli/tell_daemon.hpp"

namespace pairmark::cli {
namespace {

struct Options {
    std::string config;
    std::vector<std::string> marks;
    std::int64_t pair = 0;
    bool in_order = false;
    bool turn_down = false;
    std::string because;
    bool undo = false;
    bool set_aside = false;
    bool release = false;
    std::string answer;
    std::string instrument_check;
};

/// The one thing that was asked for. Throws CLI::ValidationError if it is none or several.
record::Acted act_of(const Options& options) {
    record::Acted act;
    int asked = 0;
    const auto ask = [&act, &asked](bool wanted, const char* name) {
        if (!wanted) return;
        act.act = name;
        ++asked;
    };
    ask(!options.marks.empty(), "mark");
    ask(options.in_order, "in-order");
    ask(options.turn_down || !options.because.empty(), "turn-down");
    ask(options.undo, "undo");
    ask(options.set_aside, "set-aside");
    ask(options.release, "release");
    ask(!options.answer.empty(), "answer");
    ask(!options.instrument_check.empty(), "instrument-check");
    if (asked != 1)
        throw CLI::ValidationError("say one thing: NAME=VALUE marks, or one of the options; see --help");
    for (const std::string& mark : options.marks) {
        const std::size_t sign = mark.find('=');
        const std::string name = mark.substr(0, sign);
        const std::string value = sign == std::string::npos ? "" : mark.substr(sign + 1);
        if (const auto fault = record::fault_in_mark(name, value)) throw CLI::ValidationError(*fault);
        act.values[name] = value;
    }
    act.text = act.act == "answer"             ? options.answer
               : act.act == "instrument-check" ? options.instrument_check
                                               : options.because;
    if (options.pair > 0) act.pair = options.pair;
    return act;
}

std::string vocabulary() {
    std::string text = "Marks:\n";
    for (const record::MarkWord& word : record::mark_vocabulary()) {
        std::string mark = std::string(word.name) + "=";
        if (word.values.empty()) mark += "TEXT";
        for (std::size_t i = 0; i < word.values.size(); ++i)
            mark += (i == 0 ? "" : "|") + std::string(word.values[i]);
        text += "  " + bench::padded(mark, 38) + std::string(word.what) + "\n";
        if (!word.form.empty()) text += "  " + bench::padded("", 38) + "or " + std::string(word.form) + "\n";
    }
    return text;
}

}  // namespace

void add_mark(CLI::App& app, int& status) {
    CLI::App* command =
        app.add_subcommand("mark", "tell the running daemon what you see on a pair, or take something back");
    auto options = std::make_shared<Options>();
    command->add_option("marks", options->marks, "NAME=VALUE, several at once");
    command->add_option("--config", options->config, "the running bench's configuration")->required();
    command
        ->add_option("--pair", options->pair,
                     "which pair, by the number in front of its line; without it the one at the bench")
        ->check(CLI::PositiveNumber);
    command->add_flag("--in-order", options->in_order, "looked over, all in order");
    command->add_flag("--turn-down", options->turn_down, "turn the pair down");
    command->add_option("--because", options->because, "turn the pair down, and say why");
    command->add_flag("--undo", options->undo, "take the last act back");
    command->add_flag("--set-aside", options->set_aside, "put the pair into the tray for questions");
    command->add_flag(
        "--release", options->release,
        "release what is held: a pair of which a reading came late, a label that the folder held, or the "
        "labels that wait because this computer's clock is behind");
    command->add_option("--answer", options->answer, "answer the pair's question with one of its choices");
    command
        ->add_option(
            "--instrument-check", options->instrument_check,
            "what the lens meter's check said (nothing on the stop, then a lens of known power): passed or "
            "failed. It stands with every lens measured from here on, for 12 hours")
        ->check(CLI::IsMember({"passed", "failed"}));
    command->footer(vocabulary() +
                    "Example:\n  pairmark mark --config bench.json tint=dark scratches=central");
    command->callback([options, &status] { status = tell_daemon(options->config, act_of(*options)); });
}

}  // namespace pairmark::cli
