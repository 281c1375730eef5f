#include "host/bench/daemon.hpp"

#include <cstdio>
#include <nlohmann/json.hpp>
#include <random>

#include "host/bench/request.hpp"
#include "protocol/crc32.hpp"

namespace pairmark::bench {
namespace {

std::string crc_text(const std::vector<std::uint8_t>& bytes) {
    char text[16];
    (void)std::snprintf(text, sizeof text, "%08X", protocol::crc32(bytes.data(), bytes.size()));
    return text;
}

constexpr Milliseconds profile_again_after{5000};
constexpr Milliseconds half_pair_again_after{10'000};
/// Not one slip: then the profile is suspect.
constexpr int many_refused = 3;

/// 64 random bits for an adapter that has no name yet.
std::string new_id() {
    std::random_device chance;
    char text[24];
    (void)std::snprintf(text, sizeof text, "%08X%08X", chance(), chance());
    return text;
}

}  // namespace

Daemon::Daemon(link::Ports& ports, Timers& timers, store::Store& store, printing::Printer& printer,
               Announcer& announcer, Setup setup)
    : timers_(timers),
      store_(store),
      announcer_(announcer),
      setup_(std::move(setup)),
      profile_crc_(setup_.profile.empty() ? std::string() : crc_text(setup_.profile)),
      link_(ports, timers, setup_.config.port,
            {[this](const link::Heard& heard) { hear(heard); },
             [this](record::LinkHealth health, const std::string& say) {
                 announcer_.tell("link", say, std::string(record::word(health)));
             }}),
      sorting_({store, printer, timers, announcer, [this](const std::string& show) { link_.cue(show); },
                [folder = setup_.config.labels](const std::string& number) {
                    return (folder / (number + ".pdf")).string();
                },
                setup_.draw},
               setup_.config, setup_.rules) {}

void Daemon::start() {
    sorting_.start();
    // A half pair of before must not be joined by another adapter's reading.
    if (const auto& greeted = sorting_.last_greeted()) {
        last_adapter_ = greeted->adapter;
        last_epoch_ = greeted->epoch;
    }
    time_half_pair();
    link_.start();
}

void Daemon::hear(const link::Heard& heard) {
    std::visit(
        [this](const auto& one) {
            using One = std::decay_t<decltype(one)>;
            if constexpr (std::is_same_v<One, link::StatusHeard>)
                announcer_.tell("status", escaped(one.fields));
            else if constexpr (!std::is_same_v<One, link::HealthChanged>)
                hear(one);
        },
        heard);
}

/// Once a greeting: an adapter repeats what is not acknowledged, and a bad cable spoils many lines.
void Daemon::say_once(const std::string& say) {
    constexpr std::size_t most = 16;  // what invents ever new faults is not listened to any longer
    if (said_of_link_.size() < most && said_of_link_.insert(say).second) announcer_.tell("trouble", say);
}

void Daemon::hear(const link::ComplaintHeard& complaint) {
    say_once("the adapter on " + link_.path() + " says: " + escaped(complaint.say) +
             "; if this goes on, ask the technician");
}

void Daemon::hear(const link::NoiseHeard& noise) {
    say_once("bytes on " + link_.path() + " that are no line of the adapter's protocol (" + noise.why +
             "); nothing of them is used, and the adapter says again what matters; if this goes on, look at "
             "its cable");
}

void Daemon::hear(const link::BadEventHeard& bad) {
    say_once("an event of the adapter on " + link_.path() + " cannot be right (its \"" + escaped(bad.field) +
             "\"); it is not taken and stays in the adapter; ask the technician to bring adapter and program "
             "to the same release");
}

void Daemon::hear(const link::UnknownHeard& unknown) {
    say_once("the adapter on " + link_.path() + " sent a line of a kind that this program does not know (" +
             escaped(unknown.kind) + "); nothing of it is used; bring both to the same release");
}

void Daemon::hear(const link::HelloHeard& hello) {
    hello_ = hello;
    std::uint32_t acked = 0;
    if (!last_number(hello.id, hello.epoch, acked)) return;  // not greeted, so it says HELLO again
    link_.session()->greet(store_.id(), acked, hello.id.empty() ? new_id() : std::string());
    link_.flush();
}

/// False, said, if the store cannot tell.
bool Daemon::last_number(const std::string& adapter, std::uint32_t epoch, std::uint32_t& number) {
    const auto failure =
        store_.attempt([&] { number = adapter.empty() ? 0 : store_.last_number(adapter, epoch); });
    if (failure) announcer_.tell("trouble", failure->what());
    return !failure;
}

void Daemon::hear(const link::ReadyHeard& ready) {
    record::Greeted greeted;
    greeted.adapter = ready.id;
    greeted.epoch = ready.epoch;
    if (hello_) {
        greeted.firmware = hello_->firmware;
        greeted.board = hello_->board;
        greeted.why = hello_->why;
        greeted.reset = last_boot_ && *last_boot_ != hello_->boot;
        last_boot_ = hello_->boot;
        std::uint32_t ours = 0;
        if (last_number(ready.id, ready.epoch, ours) && !hello_->store.empty() &&
            hello_->store != store_.id() && hello_->acked > ours) {
            greeted.missing = hello_->acked - ours;
            announcer_.tell(
                "said", std::to_string(greeted.missing) + " readings of this adapter went to another store");
        }
    }
    const bool another = !last_adapter_.empty() && (last_adapter_ != ready.id || last_epoch_ != ready.epoch);
    greeted.changed = another || (hello_ && !hello_->store.empty() && hello_->store != store_.id());
    last_adapter_ = ready.id;
    last_epoch_ = ready.epoch;
    clash_ = false;
    said_of_link_.clear();
    sorting_.greeted(greeted);
    reads_by(ready.profile);
    if (!profile_crc_.empty() && ready.profile != profile_crc_) {
        announcer_.tell("profile", "sending " + setup_.profile_name + " to the adapter", "sending");
        profile_fault_.clear();
        send_profile();
    } else if (ready.profile.empty()) {
        announcer_.tell("profile",
                        "the adapter has no profile of the instrument; name one in the configuration",
                        "missing");
    } else {
        announcer_.tell("profile", "the adapter reads by profile " + ready.profile, "in-force");
    }
}

void Daemon::hear(const link::EventHeard& event) {
    switch (sorting_.take(event.event, event.id, event.line, link_.health() == record::LinkHealth::healthy)) {
        case Sorting::Taken::stored:
        case Sorting::Taken::known:
            if (event.event.event.kind == protocol::EventKind::reading) refused_in_a_row_ = 0;
            link_.session()->acknowledge(event);
            link_.flush();
            break;
        case Sorting::Taken::clash:
            if (!clash_)
                announcer_.tell("trouble",
                                "two adapters answer to the same name, or one was copied: event " +
                                    std::to_string(event.event.event.number) + " of " + event.id +
                                    " differs from the stored one. It is kept apart and not acknowledged; "
                                    "ask the technician",
                                "clash");
            clash_ = true;
            break;
        case Sorting::Taken::failed:
            break;  // not acknowledged, so the adapter keeps it and sends it again
    }
    sorting_.settle();
    time_half_pair();
}

void Daemon::hear(const link::CaptureRefused& refused) {
    if (refused.old) return;
    announcer_.tell("refused", "the adapter refused what the instrument sent: " + escaped(refused.why) +
                                   " (at byte " + std::to_string(refused.at) + " of " +
                                   std::to_string(refused.length) + "); measure again");
    if (++refused_in_a_row_ != many_refused) return;
    announcer_.tell("trouble", std::to_string(many_refused) +
                                   " captures in a row were no readings: is the profile in the adapter" +
                                   (setup_.profile_name.empty() ? "" : " (" + setup_.profile_name + ")") +
                                   " this instrument's, and its serial link set alike? Ask the technician");
}

/// Of a profile that is not ours only what the adapter makes of it is known.
void Daemon::reads_by(const std::string& profile_crc) {
    sorting_.measures_on_one_table(setup_.one_table && profile_crc == profile_crc_);
}

void Daemon::send_profile() {
    if (link_.health() != record::LinkHealth::healthy) return;  // the next greeting begins anew
    link_.session()->send_profile(setup_.profile);
    link_.flush();
}

void Daemon::hear(const link::ProfileStored& stored) {
    if (stored.fault.empty()) {
        reads_by(stored.profile);
        announcer_.tell("profile", "the adapter reads by profile " + stored.profile, "in-force");
        return;
    }
    // Readings that wait were made by the old profile, so the adapter takes the new one only when they are
    // gone.
    if (stored.fault != profile_fault_)
        announcer_.tell(
            "profile",
            "the adapter did not take the profile yet (" + escaped(stored.fault) + "); it is sent again",
            "refused");
    profile_fault_ = stored.fault;
    if (profile_timer_) timers_.cancel(*profile_timer_);
    profile_timer_ = timers_.after(profile_again_after, [this] {
        profile_timer_.reset();
        send_profile();
    });
}

void Daemon::time_half_pair() {
    const std::optional<std::int64_t> half = sorting_.half_pair();
    if (half == half_pair_) return;
    if (half_pair_timer_) timers_.cancel(*half_pair_timer_);
    half_pair_timer_.reset();
    half_pair_ = half;
    if (!half) return;
    half_pair_timer_ =
        timers_.after(setup_.config.half_pair_after, [this, pair = *half] { ask_half_pair(pair); });
}

void Daemon::ask_half_pair(std::int64_t pair) {
    half_pair_timer_.reset();
    if (!sorting_.half_pair_is_old(pair))
        half_pair_timer_ = timers_.after(half_pair_again_after, [this, pair] { ask_half_pair(pair); });
    time_half_pair();
}

std::string Daemon::answer(const std::string& request) {
    try {
        const record::Acted act = act_from_request(request);
        const std::string said = sorting_.act(act);
        time_half_pair();
        return nlohmann::json{{"answer", said.empty() ? "done" : said}}.dump(
            -1, ' ', false, nlohmann::json::error_handler_t::replace);
    } catch (const record::BadRecord& bad) {
        return nlohmann::json{{"error", bad.what()}}.dump(-1, ' ', false,
                                                          nlohmann::json::error_handler_t::replace);
    }
}

}  // namespace pairmark::bench
