// A sorting day on the simulated adapter: starts the board and the daemon, lets the volunteer work, gathers
// what came out.
#include <poll.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "demo/board_client.hpp"
#include "demo/children.hpp"
#include "demo/script.hpp"
#include "demo/volunteer.hpp"

namespace pairmark::demo {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using Clock = std::chrono::steady_clock;

struct Options {
    fs::path out;
    fs::path built;   // where the programs are
    fs::path scenes;  // where the scenario and the profile lie
    std::string pairs;
    std::string firmware;
    bool headless = false;
    bool fast = false;
};

/// A short-lived folder for sockets and ports, whose paths must be short.
class Workplace {
  public:
    Workplace() {
        std::string path = (fs::temp_directory_path() / "pairmark-day-XXXXXX").string();
        if (mkdtemp(path.data()) == nullptr) throw std::runtime_error("cannot make a temporary folder");
        folder_ = path;
    }
    ~Workplace() {
        std::error_code ignored;
        fs::remove_all(folder_, ignored);
    }
    Workplace(const Workplace&) = delete;
    Workplace& operator=(const Workplace&) = delete;
    std::string file(const char* name) const { return (folder_ / name).string(); }

  private:
    fs::path folder_;
};

/// Takes away what an earlier day of this demo left in the folder, and nothing else.
void make_room(const fs::path& out) {
    fs::create_directories(out / "labels");
    for (const char* name : {"day.db", "day.db-wal", "day.db-shm", "day.db.lock", "day.db.generation",
                             "session.jsonl", "summary.json", "replay.json", "bench.json"})
        fs::remove(out / name);
    for (const fs::directory_entry& entry : fs::directory_iterator(out / "labels"))
        if (entry.path().extension() == ".pdf") fs::remove(entry.path());
}

void write_config(const Options& options, const std::string& port) {
    const json config{{"programme", "Lantern Quay"},
                      {"bench", "LQ2"},
                      {"database", "day.db"},
                      {"labels", "labels"},
                      {"port", port},
                      {"profile", (options.scenes / "instrument.profile.json").string()},
                      {"looked_over", "earlier"},
                      {"boxes", {{"name", "Box"}, {"slots", 40}}}};
    std::ofstream(options.out / "bench.json") << config.dump(2) << "\n";
}

Script read_script(const Options& options) {
    const fs::path file = options.pairs.empty() ? options.scenes / "day.txt" : fs::path(options.pairs);
    std::ifstream in(file);
    if (!in) throw std::runtime_error("cannot read " + file.string());
    try {
        return options.pairs.empty() ? read_scenario(in) : read_pairs(in);
    } catch (const std::runtime_error& wrong) {
        throw std::runtime_error(file.string() + ", " + wrong.what());
    }
}

/// What the daemon has told so far.
struct Told {
    bool adapter = false;
    bool profile = false;
    bool silent = false;
    std::string trouble;
    std::int64_t readings = 0;
    std::int64_t pairs = 0;
};

void hear(const std::string& line, Told& told, bool show) {
    const json message = json::parse(line, nullptr, false);
    if (!message.is_object()) return;
    const std::string kind = message.value("tell", "");
    const std::string word = message.value("word", "");
    const std::string say = message.value("say", "");
    if (kind == "link") {
        told.adapter = word == "healthy";
        told.silent = word == "silent";
    } else if (kind == "profile") {
        told.profile = word == "in-force";
    } else if (kind == "reading") {
        ++told.readings;
    } else if (kind == "pair") {
        ++told.pairs;
    } else if (kind == "trouble") {
        told.trouble = say;
    }
    if (!show) return;
    if (kind == "reading")
        std::cout << "          " << say << std::endl;
    else if (kind == "pair")
        std::cout << "  pair " << say << std::endl;
    else
        std::cout << "          [" << kind << "] " << say << std::endl;
}

class Day {
  public:
    explicit Day(const Options& options)
        : options_(options), show_(!options.fast), script_(read_script(options)), skipped_(script_.skipped) {}

    int play();

  private:
    void step(BoardClient& board, Child& daemon);
    void look(BoardClient& board, const Tick& tick);
    bool work(BoardClient& board, Child& daemon);
    void progress();
    int gather();
    bool finished() const {
        return volunteer_->finished() && told_.readings >= volunteer_->accepted() && quiet_ticks_ > 0;
    }

    const Options& options_;
    bool show_;
    Script script_;
    std::int64_t skipped_;
    std::unique_ptr<Volunteer> volunteer_;
    Told told_;
    Tick latest_;
    std::int64_t now_us_ = 0;
    std::int64_t ready_by_us_ = 30'000'000;
    std::int64_t end_us_ = -1;
    int quiet_ticks_ = 0;
    bool daemon_ended_ = false;
    Clock::time_point began_ = Clock::now();
    Clock::time_point next_progress_ = Clock::now();
};

void Day::look(BoardClient& board, const Tick& tick) {
    now_us_ = tick.us;
    const Deed deed = volunteer_->see(tick, told_.adapter && told_.profile);
    for (const std::string& sentence : deed.say)
        if (show_) std::cout << "\n  " << sentence << std::endl;
    for (const std::string& line : deed.board)
        board.send(line);
    if (!deed.instrument_bytes.empty()) board.print(deed.instrument_bytes);
    if (volunteer_->finished()) {
        // The last key press or verdict still has its way to go; one quiet second of board time is many times
        // that.
        if (end_us_ < 0) end_us_ = tick.us + 1'500'000;
        if (tick.us >= end_us_) ++quiet_ticks_;
    }
}

void Day::step(BoardClient& board, Child& daemon) {
    pollfd waits[2] = {{board.descriptor(), POLLIN, 0}, {daemon_ended_ ? -1 : daemon.output(), POLLIN, 0}};
    const int some = poll(waits, 2, options_.fast ? 1000 : 50);
    for (const std::string& line : daemon.lines(daemon_ended_))
        hear(line, told_, show_);
    const std::vector<Tick> ticks = board.ticks();
    for (const Tick& tick : ticks) {
        look(board, tick);
        latest_ = tick;
        if (options_.fast)
            board.idle(volunteer_->finished() && end_us_ > tick.us
                           ? end_us_
                           : std::max(volunteer_->wake_us(), tick.us + 1000));
    }
    // In real time ticks come only with a change: the volunteer also acts on the clock.
    if (!options_.fast && some == 0) {
        latest_.us = std::chrono::duration_cast<std::chrono::microseconds>(Clock::now() - began_).count();
        look(board, latest_);
    } else if (!options_.fast && !ticks.empty()) {
        began_ = Clock::now() - std::chrono::microseconds(latest_.us);
    }
}

void Day::progress() {
    if (show_ || Clock::now() < next_progress_) return;
    next_progress_ = Clock::now() + std::chrono::seconds(5);
    std::cerr << "  " << told_.readings << " readings, " << told_.pairs << " pairs, "
              << std::chrono::duration_cast<std::chrono::seconds>(Clock::now() - began_).count() << " s"
              << std::endl;
}

/// False, with the reason said, if the day could not be played to its end.
bool Day::work(BoardClient& board, Child& daemon) {
    const Clock::time_point silent_by = Clock::now() + std::chrono::seconds(45);
    bool was_ready = false;
    while (!finished()) {
        step(board, daemon);
        progress();
        was_ready = was_ready || (told_.adapter && told_.profile);
        std::string fault;
        if (daemon_ended_)
            fault = "the daemon ended before the day did; its reason stands above";
        else if ((told_.silent && now_us_ > 15'000'000) ||
                 (!was_ready && (now_us_ > ready_by_us_ || Clock::now() > silent_by)))
            fault = "the adapter is silent: its firmware does not answer" +
                    (told_.trouble.empty() ? std::string() : " (" + told_.trouble + ")");
        else if (!volunteer_->stuck().empty())
            fault = volunteer_->stuck();
        if (fault.empty()) continue;
        std::cerr << "demo: " << fault << std::endl;
        return false;
    }
    return true;
}

int Day::gather() {
    const std::string pairmark = (options_.built / "pairmark").string();
    const std::string session = (options_.out / "session.jsonl").string();
    Child exporting(
        {pairmark, "session", "export", "--database", (options_.out / "day.db").string(), "--out", session});
    if (const int status = exporting.wait(); status != 0) return status;
    Child replaying({"/bin/sh", "-c", "exec \"$0\" replay \"$1\" --json > \"$2\"", pairmark, session,
                     (options_.out / "replay.json").string()});
    if (const int status = replaying.wait(); status != 0) return status;
    std::ifstream in(options_.out / "replay.json");
    const json replayed = json::parse(in);
    fs::remove(options_.out / "replay.json");
    json summary;
    for (const char* name : {"readings", "pairs", "keep", "discard", "ask", "labels"})
        summary[name] = replayed.at(name);
    summary["skipped"] = skipped_;
    summary["refused"] = volunteer_->refused();
    std::ofstream(options_.out / "summary.json") << summary.dump(2) << "\n";
    std::cout << "\n"
              << summary["readings"] << " readings, " << summary["pairs"] << " pairs: " << summary["keep"]
              << " keep, " << summary["discard"] << " discard, " << summary["ask"] << " ask; "
              << summary["labels"] << " labels in force"
              << (skipped_ > 0 ? ", " + std::to_string(skipped_) + " incomplete rows skipped" : "") << "\n"
              << "labels:  " << (options_.out / "labels").string() << "\n"
              << "session: " << session << std::endl;
    if (summary["readings"].get<std::int64_t>() != volunteer_->accepted()) {
        std::cerr << "demo: the adapter accepted " << volunteer_->accepted()
                  << " readings; the store has another count" << std::endl;
        return 1;
    }
    return 0;
}

int Day::play() {
    make_room(options_.out);
    const Workplace place;
    const std::string host_port = place.file("host");
    write_config(options_, host_port);
    volunteer_ = std::make_unique<Volunteer>(std::move(script_), options_.fast ? 100'000 : 700'000);
    std::vector<std::string> command = {(options_.built / "pairmark-simboard").string(),
                                        "--firmware",
                                        options_.firmware,
                                        "--socket",
                                        place.file("board"),
                                        "--host-port",
                                        host_port,
                                        "--instrument-port",
                                        place.file("instrument")};
    if (options_.fast) command.insert(command.end(), {"--fast", "--expect", "2"});
    Child board_process(std::move(command));
    BoardClient board(place.file("board"), place.file("instrument"), options_.fast);
    command = {(options_.built / "pairmark").string(), "run", "--allow-root", "--json", "--config",
               (options_.out / "bench.json").string()};
    if (options_.fast) command.insert(command.end(), {"--board-time", place.file("board")});
    Child daemon(std::move(command));
    began_ = Clock::now();
    if (!work(board, daemon)) return 1;
    if (const int status = daemon.end(); status != 0) {
        std::cerr << "demo: the daemon ended with status " << status << std::endl;
        return 1;
    }
    return gather();
}

}  // namespace
}  // namespace pairmark::demo

int main(int argc, char** argv) {
    (void)std::signal(SIGPIPE, SIG_IGN);
    pairmark::demo::Options options;
    CLI::App app(
        "Plays a sorting day: an instrument, the real firmware on a simulated adapter, the daemon, and the "
        "labels.");
    app.add_option("--out", options.out, "folder for labels/, session.jsonl and summary.json")->required();
    app.add_option("--built", options.built, "folder of the built programs")->required();
    app.add_option("--scenes", options.scenes, "folder of the scenario and the instrument's profile")
        ->required();
    app.add_option("--pairs", options.pairs, "play the pairs of this CSV instead of the scenario");
    app.add_option("--firmware", options.firmware, "firmware image for the simulated adapter")->required();
    app.add_flag("--headless", options.headless, "for scripts: no labels are opened at the end");
    app.add_flag("--fast", options.fast, "the simulator owns time");
    CLI11_PARSE(app, argc, argv);
    try {
        options.out = std::filesystem::absolute(options.out);
        options.scenes = std::filesystem::absolute(options.scenes);
        return pairmark::demo::Day(options).play();
    } catch (const std::exception& error) {
        std::cerr << "demo: " << error.what() << std::endl;
        return 1;
    }
}
