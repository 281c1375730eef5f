// pairmark run: the bench's daemon.
#include <sys/stat.h>
#include <unistd.h>

#include <boost/asio/io_context.hpp>
#include <boost/asio/signal_set.hpp>
#include <csignal>
#include <functional>
#include <iostream>
#include <memory>
#include <string>

#include "host/bench/board_time.hpp"
#include "host/bench/computer_timers.hpp"
#include "host/bench/config.hpp"
#include "host/bench/control.hpp"
#include "host/bench/daemon.hpp"
#include "host/cli/commands.hpp"
#include "host/cli/files.hpp"
#include "host/learn/profile_json.hpp"
#include "host/link/computer_ports.hpp"
#include "host/printing/folder.hpp"

namespace pairmark::cli {
namespace {

struct Options {
    std::string config;
    std::string port;
    std::string board_time;
    bool json = false;
    bool check = false;
    bool allow_root = false;
};

bench::Daemon::Setup setup_of(const Options& options) {
    bench::Daemon::Setup setup;
    setup.config = bench::load_config(options.config);
    if (!options.port.empty()) setup.config.port = options.port;
    setup.rules =
        setup.config.rules ? read_file(*setup.config.rules) : std::string(grading::default_rules_text());
    try {
        (void)grading::parse_rules(setup.rules);
    } catch (const grading::BadRules& bad) {
        throw std::runtime_error((setup.config.rules ? setup.config.rules->string() : "the default rules") +
                                 ": " + bad.what());
    }
    if (setup.config.profile) {
        setup.profile_name = setup.config.profile->filename().string();
        try {
            const std::string text = read_file(*setup.config.profile);
            setup.profile = learn::compact_profile(text);
            setup.one_table = learn::measures_on_one_table(text);
        } catch (const learn::BadProfile& bad) {
            throw std::runtime_error(setup.config.profile->string() + ": " + bad.what());
        }
    }
    return setup;
}

int serve(const Options& options) {
    const bench::Daemon::Setup setup = setup_of(options);
    if (options.check) {
        std::cout << "configuration, rules and profile are in order\n";
        return 0;
    }
    // A daemon that reads a cable and parses files from outside has no business being root.
    if (geteuid() == 0 && !options.allow_root) {
        std::cerr << "pairmark: this is the superuser's account; run the bench as a user of its own, or say "
                     "--allow-root\n";
        return 2;
    }
    (void)umask(0077);
    // A file that may not grow is a failure to report, not a reason to end.
    (void)std::signal(SIGXFSZ, SIG_IGN);
    std::error_code fault;
    std::filesystem::create_directories(setup.config.labels, fault);
    if (fault)
        throw std::runtime_error("the folder for labels, " + setup.config.labels.string() +
                                 ", cannot be made (" + fault.message() +
                                 "); make it, or name another in the configuration");
    store::Store store = store::Store::open(setup.config.database);
    bench::Announcer announcer(std::cout,
                               options.json ? bench::Announcer::Form::json : bench::Announcer::Form::text);
    printing::Folder printer(setup.config.labels.string());
    boost::asio::io_context loop;
    boost::asio::signal_set signals(loop, SIGINT, SIGTERM);
    signals.async_wait([&loop](boost::system::error_code error, int) {
        if (!error) loop.stop();
    });
    link::ComputerPorts ports(loop);
    const auto serve_by = [&](bench::Timers& timers, const std::function<void(bench::Daemon&)>& run) {
        bench::Daemon daemon(ports, timers, store, printer, announcer, setup);
        daemon.start();
        bench::Control control(loop, timers, bench::control_path(setup.config.database),
                               [&daemon](const std::string& request) { return daemon.answer(request); });
        if (const std::string trouble = control.open(); !trouble.empty()) announcer.tell("trouble", trouble);
        run(daemon);
    };
    if (options.board_time.empty()) {
        bench::ComputerTimers timers(loop);
        serve_by(timers, [&loop](bench::Daemon&) { loop.run(); });
        return 0;
    }
    bench::SteppedTimers timers(std::chrono::system_clock::now());
    serve_by(timers, [&](bench::Daemon& daemon) {
        bench::BoardTime board(loop, options.board_time, timers, [&daemon] { return daemon.progress(); });
        board.run();
    });
    return 0;
}

}  // namespace

void add_run(CLI::App& app, int& status) {
    CLI::App* command = app.add_subcommand("run", "the bench's daemon: readings in, labels out");
    auto options = std::make_shared<Options>();
    command
        ->add_option("--config", options->config, "the bench's configuration (host/bench/config.schema.json)")
        ->required();
    command->add_option("--port", options->port,
                        "the adapter's serial port, in place of the configuration's");
    command->add_flag("--json", options->json, "tell what happens as JSON lines, for scripts");
    command->add_flag("--check", options->check, "look the configuration, rules and profile over, and end");
    command->add_flag("--allow-root", options->allow_root, "run although this is the superuser's account");
    command->add_option("--board-time", options->board_time,
                        "take time from a simulated board at this socket (demo and trials)");
    command->footer(
        "The smallest configuration names nothing but the programme and the bench:\n"
        "  {\"programme\": \"Reading Room\", \"bench\": \"A1\", \"profile\": \"our-lens-meter.json\"}\n"
        "Labels come into the folder \"labels\" beside it, readings are kept in \"pairmark.db\". It ends on "
        "Ctrl-C; nothing is\n"
        "lost by ending it, or by pulling a plug: the adapter keeps what the daemon has not stored.\n"
        "Example:\n"
        "  pairmark run --config bench.json");
    command->callback([options, &status] {
        try {
            status = serve(*options);
        } catch (const bench::BadConfig& bad) {
            std::cerr << "pairmark: " << bad.what() << "\n";
            status = 2;
        }
    });
}

}  // namespace pairmark::cli
