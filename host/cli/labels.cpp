// pairmark labels: which labels have not come out and why, and what people decide about them.
#include <iostream>
#include <memory>
#include <string>
#include <vector>

#include "host/bench/announcer.hpp"
#include "host/bench/columns.hpp"
#include "host/bench/config.hpp"
#include "host/bench/unlabelled.hpp"
#include "host/cli/commands.hpp"
#include "host/cli/tell_daemon.hpp"
#include "host/store/store.hpp"

namespace pairmark::cli {
namespace {

using record::PrintOutcome;

struct Options {
    std::string config;
    std::string number;
    bool all = false;
    bool on_envelope = false;
    bool print_again = false;
};

bool is_settled(PrintOutcome outcome) {
    return outcome == PrintOutcome::printed || outcome == PrintOutcome::confirmed ||
           outcome == PrintOutcome::void_;
}

int list(const Options& options) {
    const bench::Config config = bench::load_config(options.config);
    const store::Store store = store::Store::open_to_read(config.database);
    const store::Transaction at_one_moment = store.snapshot();
    std::size_t shown = 0;
    for (const store::StoredIntent& intent : store.intents()) {
        if (!options.all && is_settled(intent.outcome)) continue;
        ++shown;
        const std::string what =
            intent.label + (intent.copy > 0 ? " COPY " + std::to_string(intent.copy) : "");
        std::cout << bench::padded(what, 24) << " pair " << bench::padded(std::to_string(intent.pair), 7)
                  << bench::padded(std::string(record::word(intent.outcome)), 11)
                  << bench::escaped(intent.say) << "\n";
    }
    for (const bench::UnlabelledPair& one : bench::unlabelled_pairs(store)) {
        ++shown;
        std::cout << bench::padded("(no number)", 24) << " pair "
                  << bench::padded(std::to_string(one.pair), 7) << bench::padded("kept", 11)
                  << bench::escaped(one.why) << "\n";
    }
    if (options.all)
        std::cout << shown << (shown == 1 ? " label\n" : " labels\n");
    else if (shown == 0)
        std::cout << "every label has come out\n";
    else
        std::cout << shown << (shown == 1 ? " label has" : " labels have") << " not come out\n";
    return 0;
}

record::Acted about(const Options& options, const char* act) {
    record::Acted acted;
    acted.act = act;
    acted.text = options.number;
    return acted;
}

void guarded(int& status, const std::function<int()>& work) {
    try {
        status = work();
    } catch (const bench::BadConfig& bad) {
        std::cerr << "pairmark: " << bad.what() << "\n";
        status = 2;
    }
}

CLI::App* command_below(CLI::App* labels, const std::shared_ptr<Options>& options, const char* name,
                        const char* what, bool numbered) {
    CLI::App* command = labels->add_subcommand(name, what);
    command->add_option("--config", options->config, "the bench's configuration")->required();
    if (numbered) command->add_option("number", options->number, "the label's number")->required();
    command->footer(std::string("Example:\n  pairmark labels ") + name + " --config bench.json" +
                    (numbered ? " A1-A-00012-M" : ""));
    return command;
}

void add_act(CLI::App* labels, const std::shared_ptr<Options>& options, int& status, const char* name,
             const char* act, bool numbered, const char* what) {
    command_below(labels, options, name, what, numbered)->callback([options, &status, act] {
        guarded(status, [&] { return tell_daemon(options->config, about(*options, act)); });
    });
}

}  // namespace

void add_labels(CLI::App& app, int& status) {
    CLI::App* labels = app.add_subcommand(
        "labels", "labels that have not come out and why; print one again; hold all of them");
    labels->require_subcommand(1);
    labels->footer(
        "A label goes out once. What may have come out (\"in doubt\": the program or the printer ended in "
        "the\n"
        "middle) is never printed again by itself: look for it, then say what you found. A second print "
        "says\n"
        "COPY and counts, so that two envelopes with one number are seen.\n"
        "Examples:\n"
        "  pairmark labels list --config bench.json\n"
        "  pairmark labels resolve --config bench.json A1-A-00012-M --on-envelope");
    auto options = std::make_shared<Options>();
    CLI::App* listed =
        command_below(labels, options, "list",
                      "labels that have not come out, and why; the bench may run meanwhile", false);
    listed->add_flag("--all", options->all, "every label, also what came out and what is void");
    listed->callback([options, &status] { guarded(status, [&] { return list(*options); }); });

    add_act(labels, options, status, "again", "print-again", true,
            "print a label again, marked COPY: it is torn, faded or lost");

    CLI::App* resolve =
        command_below(labels, options, "resolve", "say what became of a label that is in doubt", true);
    resolve->add_flag("--on-envelope", options->on_envelope, "it came out: it is on the envelope");
    resolve->add_flag("--print-again", options->print_again, "it is not there: print it again, marked COPY");
    resolve->footer("Example:\n  pairmark labels resolve --config bench.json A1-A-00012-M --on-envelope");
    resolve->callback([options, &status] {
        if (options->on_envelope == options->print_again)
            throw CLI::ValidationError("say one of --on-envelope and --print-again");
        const char* act = options->on_envelope ? "print-confirm" : "print-again";
        guarded(status, [&] { return tell_daemon(options->config, about(*options, act)); });
    });

    add_act(labels, options, status, "release", "print-release", true,
            "try a label again that was held, after you moved away what was in its place");
    add_act(labels, options, status, "hold", "print-hold", false,
            "hold all labels, as while the roll is changed; measuring goes on");
    add_act(labels, options, status, "resume", "print-resume", false, "print again what was held so");
}

}  // namespace pairmark::cli
