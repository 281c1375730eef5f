// The daemon: joins the adapter's link, the work on events, and what people ask. Everything runs in the
// handlers of ports and timers, so whoever brings those drives it: the event loop, or a trial with one seed.
#pragma once

#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "host/bench/adapter_link.hpp"
#include "host/bench/sorting.hpp"

namespace pairmark::bench {

class Daemon {
  public:
    struct Setup {
        Config config;
        std::string rules;                  // text, already checked
        std::vector<std::uint8_t> profile;  // compact form; empty: the adapter keeps what it has
        std::string profile_name;           // for people
        bool one_table = false;             // that profile says so; see record::Reading
        /// Draws a label; none: as host/label does.
        std::function<std::string(const record::LabelFacts&, const record::LabelPaper&)> draw{};
    };
    Daemon(link::Ports& ports, Timers& timers, store::Store& store, printing::Printer& printer,
           Announcer& announcer, Setup setup);
    /// Goes through the store and begins to look for the adapter. Throws as Sorting::start does.
    void start();
    /// A person's request, as one line of JSON (request.hpp), and the answer to it, likewise.
    std::string answer(const std::string& request);
    StreamProgress progress() const { return link_.progress(); }

  private:
    void hear(const link::Heard& heard);
    void hear(const link::HelloHeard& hello);
    void hear(const link::ReadyHeard& ready);
    void hear(const link::EventHeard& event);
    void hear(const link::CaptureRefused& refused);
    void hear(const link::ProfileStored& stored);
    void hear(const link::BadEventHeard& bad);
    void hear(const link::UnknownHeard& unknown);
    void hear(const link::NoiseHeard& noise);
    void hear(const link::ComplaintHeard& complaint);
    void say_once(const std::string& say);
    bool last_number(const std::string& adapter, std::uint32_t epoch, std::uint32_t& number);
    void send_profile();
    void reads_by(const std::string& profile_crc);
    void time_half_pair();
    void ask_half_pair(std::int64_t pair);

    Timers& timers_;
    store::Store& store_;
    Announcer& announcer_;
    Setup setup_;
    std::string profile_crc_;
    AdapterLink link_;
    Sorting sorting_;
    std::optional<link::HelloHeard> hello_;
    std::string last_adapter_;
    std::uint32_t last_epoch_ = 0;
    std::optional<std::uint32_t> last_boot_;
    bool clash_ = false;
    std::string profile_fault_;           // told already
    std::set<std::string> said_of_link_;  // since the last greeting
    int refused_in_a_row_ = 0;
    std::optional<TimerId> profile_timer_;
    std::optional<std::int64_t> half_pair_;
    std::optional<TimerId> half_pair_timer_;
};

}  // namespace pairmark::bench
