// Everything of a simulated day, and its one time: the daemon on its store, the adapters, the ports, the
// printer. People and troubles act on it from outside.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

#include "host/bench/daemon.hpp"
#include "tests/days/adapter_box.hpp"
#include "tests/days/day_timers.hpp"
#include "tests/days/fake_ports.hpp"
#include "tests/days/fake_printer.hpp"
#include "tests/days/ledger.hpp"
#include "tests/days/screen.hpp"

namespace pairmark::days {

class World {
  public:
    explicit World(std::uint64_t seed);
    ~World();
    World(const World&) = delete;
    World& operator=(const World&) = delete;

    // ---- the daemon
    void start_daemon();
    /// As by SIGKILL, between two of its tasks.
    void kill_daemon();
    bool daemon_runs() const { return daemon_.has_value(); }
    /// What `pairmark mark` and its like do; the answer, empty if no daemon runs or it does nothing just now.
    std::string act(const record::Acted& act);
    /// There is no room for the store to grow, also for a daemon that starts meanwhile.
    void fill_disk(bool full);
    /// Time goes on, but not for the daemon.
    void stall(bool stalled);
    bool stalled() const { return stalled_; }
    /// What it told people, a line a sentence.
    std::string said() const { return said_.str(); }
    store::Store& store() { return *store_; }
    Screen& screen();

    // ---- time
    std::uint64_t now_ms() const { return now_ms_; }
    /// Waits until `done`, at most `ms` milliseconds. True if it is done.
    bool wait(const std::function<bool()>& done, std::uint64_t ms);
    void wait(std::uint64_t ms) {
        (void)wait([] { return false; }, ms);
    }
    void after(std::uint64_t ms, std::function<void()> what);

    /// A line of the day's story; kept only if somebody wants to read it.
    void tell(const std::string& what);
    bool wants_story = false;
    const std::string& story() const { return story_; }
    /// How often each trouble came.
    std::map<std::string, unsigned> met;

    /// The adapter at the instrument, and the one in the cupboard.
    AdapterBox& box() { return *boxes_[at_instrument_]; }
    AdapterBox& other_box() { return *boxes_[1 - at_instrument_]; }
    /// The other adapter gets this one's place, at the instrument and in its port. Both must be there.
    void exchange_adapters();

    bench::Daemon::Setup setup;
    Milliseconds wall_shift{0};
    FakePorts ports;
    FakePrinter printer;
    Ledger ledger;

  private:
    void pass();
    unsigned quiet_ms() const;
    bench::Milliseconds daemon_time() const { return Milliseconds(now_ms_ - daemon_began_ms_); }

    std::filesystem::path folder_;
    std::uint64_t now_ms_ = 0;
    std::uint64_t daemon_began_ms_ = 0;
    std::multimap<std::uint64_t, std::function<void()>> plans_;
    std::vector<std::unique_ptr<AdapterBox>> boxes_;
    std::size_t at_instrument_ = 0;
    bool stalled_ = false;
    bool disk_full_ = false;
    std::string story_;
    Chance order_;
    Chance names_;  // of the store and its generations: how long the adapter writes one depends on its bytes
    Screen screen_;
    std::ostringstream said_;
    bench::Announcer announcer_{said_, bench::Announcer::Form::text};
    std::optional<store::Store> store_;
    std::optional<DayTimers> timers_;
    std::optional<bench::Daemon> daemon_;
};

}  // namespace pairmark::days
