// pairmark verify: does a store follow from its events?
#include <algorithm>
#include <chrono>
#include <functional>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <string>
#include <thread>

#include "host/bench/announcer.hpp"
#include "host/bench/config.hpp"
#include "host/bench/verify_store.hpp"
#include "host/cli/commands.hpp"
#include "host/cli/store_file.hpp"
#include "host/record/json.hpp"
#include "host/store/store.hpp"

namespace pairmark::cli {
namespace {

using nlohmann::json;

constexpr int clean = 0;
constexpr int differs = 1;
constexpr int unreadable = 2;

struct Options {
    std::string store;
    bool json = false;
    bool put_right = false;
};

/// Says how far it is, once a second; nothing of a store that takes less.
class Progress {
  public:
    bench::VerifyProgress events() {
        return [this](std::int64_t done, std::int64_t of) {
            say(std::to_string(done) + " of " + std::to_string(of) + " events");
        };
    }
    std::function<void(const std::string&)> pages() {
        return [this](const std::string& table) { say("looking over the pages of " + table); };
    }

  private:
    void say(const std::string& what) {
        const auto now = std::chrono::steady_clock::now();
        if (now - said_ < std::chrono::seconds(1)) return;
        said_ = now;
        std::cerr << what << std::endl;
    }
    std::chrono::steady_clock::time_point said_ = std::chrono::steady_clock::now();
};

json json_of(const std::vector<bench::StoreDifference>& differences) {
    json list = json::array();
    for (const bench::StoreDifference& one : differences)
        list.push_back({{"what", one.what}, {"where", one.where}, {"next", one.next}, {"mends", one.mends}});
    return list;
}

/// What both looks found. A daemon at work writes an event and its rows one after the other; what is
/// different only in between is none.
std::vector<bench::StoreDifference> in_both(const std::vector<bench::StoreDifference>& first,
                                            std::vector<bench::StoreDifference> second) {
    std::erase_if(second, [&first](const bench::StoreDifference& one) {
        return std::none_of(first.begin(), first.end(), [&one](const bench::StoreDifference& earlier) {
            return earlier.what == one.what && earlier.where == one.where;
        });
    });
    return second;
}

bench::Verified look(const std::filesystem::path& database) {
    Progress progress;
    const store::Store store = store::Store::open_to_read(database);
    bench::Verified verified = bench::verify_store(store, progress.events(), progress.pages());
    if (verified.differences.empty()) return verified;
    std::this_thread::sleep_for(std::chrono::seconds(1));
    std::vector<bench::StoreDifference> first = std::move(verified.differences);
    verified = bench::verify_store(store, progress.events(), progress.pages());
    verified.differences = in_both(first, std::move(verified.differences));
    return verified;
}

/// What was wrong and is right now.
std::vector<bench::StoreDifference> mend(const std::filesystem::path& database) {
    Progress progress;
    store::Store store = store::Store::open(database);
    if (!store.damage(progress.pages()).empty()) return {};
    const bench::StoreDerived right = bench::derive(store, progress.events());
    if (!right.unreadable.empty()) return {};
    return bench::put_right(store, right);
}

int report(const Options& options, const std::filesystem::path& database, const bench::Verified& verified,
           const std::vector<bench::StoreDifference>& mended) {
    if (options.json) {
        json out{{"database", database.string()},
                 {"clean", verified.clean()},
                 {"events", verified.events},
                 {"pairs", verified.pairs},
                 {"labels", verified.labels},
                 {"damage", verified.damage},
                 {"differences", json_of(verified.differences)}};
        if (options.put_right) out["put_right"] = json_of(mended);
        std::cout << out.dump(-1, ' ', false, json::error_handler_t::replace) << "\n";
    } else {
        for (const bench::StoreDifference& one : mended)
            std::cout << "put right: " << bench::escaped(one.what) << " (" << bench::escaped(one.where)
                      << ")\n";
        for (const std::string& damage : verified.damage)
            std::cout << bench::escaped(damage) << "\n";
        for (const bench::StoreDifference& one : verified.differences)
            std::cout << bench::escaped(one.sentence()) << "\n";
        const std::string counts = std::to_string(verified.events) + " events, " +
                                   std::to_string(verified.pairs) + " pairs, " +
                                   std::to_string(verified.labels) + " numbers";
        if (!verified.damage.empty())
            std::cout << database.string() << " cannot be read: nothing could be compared\n";
        else if (verified.differences.empty())
            std::cout << counts << ": everything follows from the events\n";
        else
            std::cout << counts << ": " << verified.differences.size() << " differences\n";
    }
    if (!verified.damage.empty()) return unreadable;
    return verified.differences.empty() ? clean : differs;
}

int verify(const Options& options) {
    const std::filesystem::path database = database_of(options.store);
    std::vector<bench::StoreDifference> mended;
    if (options.put_right) {
        // Only what is there: opening a name without a store would make one.
        (void)store::Store::open_to_read(database);
        mended = mend(database);
    }
    return report(options, database, look(database), mended);
}

}  // namespace

void add_verify(CLI::App& app, int& status) {
    CLI::App* command = app.add_subcommand(
        "verify", "prove that everything in the store follows from its events, and name what does not");
    auto options = std::make_shared<Options>();
    command->add_option("store", options->store, "the database, or the bench's configuration that names it")
        ->required();
    command->add_flag("--json", options->json, "one JSON object instead of text");
    command->add_flag("--put-right", options->put_right,
                      "write right what differs and the events account for (stop the daemon first)");
    command->footer(
        "Every page of the database is looked over; then pairs, labels, numbers and print intents are made "
        "again from "
        "the events\n"
        "alone and compared with what stands there. Without --put-right nothing is changed, and the bench "
        "may run "
        "meanwhile.\n"
        "Ends with 0: all is right; 1: differences, a line each; 2: the store cannot be read, with the "
        "damaged page or "
        "event.\n"
        "Examples:\n"
        "  pairmark verify bench.json\n"
        "  pairmark verify copies/pairmark-monday.db --json");
    command->callback([options, &status] {
        try {
            status = verify(*options);
        } catch (const std::exception& wrong) {
            // A configuration, a file that is no store, a lock, a disk: nothing could be read.
            std::cerr << "pairmark: " << wrong.what() << "\n";
            status = unreadable;
        }
    });
}

}  // namespace pairmark::cli
