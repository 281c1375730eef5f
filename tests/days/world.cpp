#include "tests/days/world.hpp"

#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <stdexcept>

#include "host/bench/request.hpp"
#include "host/learn/profile_json.hpp"
#include "host/record/json.hpp"
#include "tests/store/fresh_folder.hpp"
#include "tests/trees.hpp"

namespace pairmark::days {
namespace {

using namespace std::chrono_literals;

constexpr unsigned longest_step_ms = firmware::Adapter::rest_ms;

/// In memory where the system has room for it: a day makes hundreds of commits.
std::filesystem::path fresh_folder() {
    std::error_code ignored;
    const std::filesystem::path memory = "/dev/shm";
    const bool usable = std::filesystem::is_directory(memory, ignored) && ::access(memory.c_str(), W_OK) == 0;
    std::string name =
        ((usable ? memory : std::filesystem::temp_directory_path()) / "pairmark-day-XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr) throw std::runtime_error("no folder for the day");
    return name;
}

const std::vector<std::uint8_t>& profile() {
    static const std::vector<std::uint8_t> compact =
        learn::compact_profile(tests::bytes_of(tests::in_source_tree("demo/instrument.profile.json")));
    return compact;
}

constexpr auto morning = std::chrono::sys_days(std::chrono::year(2026) / 11 / 24) + 8h;

constexpr const char* rules = R"({"name": "Days", "date": "2026-01-01",
    "take_for_granted": {"looked_over": true, "addition": 0},
    "rules": [{"id": "cylinder", "when": {"quantity": "cylinder", "lens": "either", "over": 2}, "verdict": "discard",
               "say": "The cylinder is too strong"},
              {"id": "strong", "when": {"quantity": "cylinder", "lens": "either", "over": 1.5}, "verdict": "ask",
               "say": "Ask somebody about the cylinder"}]})";

}  // namespace

World::World(std::uint64_t seed)
    : ports(Chance(seed, 1)),
      printer(Chance(seed, 2)),
      folder_(fresh_folder()),
      order_(seed, 3),
      names_(seed, 4) {
    setup.config.programme = "Reading Room";
    setup.config.database = folder_ / "bench.db";
    setup.config.labels = folder_ / "labels";
    setup.rules = rules;
    setup.profile = profile();
    setup.profile_name = "the day's profile";
    setup.draw = [](const record::LabelFacts& facts, const record::LabelPaper&) {
        return record::to_json(facts).dump();
    };
    for (const char* id : {"1122334455667788", "99AABBCCDDEEFF00"})
        boxes_.push_back(std::make_unique<AdapterBox>(
            static_cast<std::uint32_t>(seed * 2 + boxes_.size() + 1), id, profile()));
    boxes_[1]->cut();
    printer.is_in_force = [this](const std::string& number) { return screen().is_in_force(number); };
    printer.after = [this](unsigned ms, std::function<void()> what) { after(ms, std::move(what)); };
    printer.tell = [this](const std::string& what) { tell(what); };
}

World::~World() {
    daemon_.reset();
    timers_.reset();
    store_.reset();
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
}

void World::start_daemon() {
    kill_daemon();
    store_.reset();
    store_.emplace(store::Store::open(setup.config.database, [this] { return names_.next(); }));
    if (disk_full_) fill_disk(true);
    daemon_began_ms_ = now_ms_;
    timers_.emplace(morning + Milliseconds(now_ms_), wall_shift);
    daemon_.emplace(ports, *timers_, *store_, printer, announcer_, setup);
    daemon_->start();
    tell("the daemon starts");
}

void World::kill_daemon() {
    if (!daemon_) return;
    daemon_.reset();
    timers_.reset();
    printer.forget_program();
    for (const store::StoredIntent& intent : store_->intents(record::PrintOutcome::sending))
        printer.doubted.emplace(intent.label, intent.copy);
    tell("the daemon is killed");
}

std::string World::act(const record::Acted& act) {
    if (!daemon_ || stalled_) return {};
    const std::string request = bench::request_of(act);
    std::string answer = daemon_->answer(request);
    if (act.act != "release" && !printing::Outbox::is_act(act.act) &&
        answer.find("not done") == std::string::npos)
        ++ledger.acts_done;
    tell("act " + request + " -> " + answer);
    return answer;
}

void World::exchange_adapters() {
    const std::string port = ports.port_of(box());
    if (!port.empty()) ports.unplug(port);
    box().cut();
    at_instrument_ = 1 - at_instrument_;
    box().power_on();
    if (!port.empty()) ports.plug_in(port, box());
    tell("the adapters are exchanged");
}

void World::fill_disk(bool full) {
    disk_full_ = full;
    if (store_) store_->limit_size(full ? 1 : 1LL << 40);
}

void World::stall(bool stalled) {
    stalled_ = stalled;
    ports.stall(stalled);
    if (stalled || !daemon_) return;
    // Time-outs and bytes are both due now, and which comes first is the system's whim.
    if (order_.one_in(2)) timers_->advance(daemon_time());
}

Screen& World::screen() {
    if (store_) screen_.follow(*store_);
    return screen_;
}

bool World::wait(const std::function<bool()>& done, std::uint64_t ms) {
    const std::uint64_t until = now_ms_ + ms;
    while (!done()) {
        if (now_ms_ >= until) return false;
        pass();
    }
    return true;
}

void World::after(std::uint64_t ms, std::function<void()> what) {
    plans_.emplace(now_ms_ + ms, std::move(what));
}

void World::tell(const std::string& what) {
    if (wants_story) story_ += std::to_string(now_ms_) + " " + what + "\n";
}

/// How long nothing will happen by itself.
unsigned World::quiet_ms() const {
    if (!ports.quiet()) return 1;
    for (const auto& box : boxes_)
        if (box->is_busy()) return 1;
    std::uint64_t quiet = longest_step_ms;
    if (!plans_.empty())
        quiet = std::min(quiet, plans_.begin()->first - std::min(plans_.begin()->first, now_ms_));
    if (timers_ && !stalled_)
        if (const auto due = timers_->next_due())
            quiet = std::min<std::uint64_t>(
                quiet, static_cast<std::uint64_t>(std::max<std::int64_t>((*due - daemon_time()).count(), 0)));
    return static_cast<unsigned>(std::max<std::uint64_t>(quiet, 1));
}

void World::pass() {
    for (const auto& box : boxes_)
        box->step();
    const unsigned ms = quiet_ms();
    now_ms_ += ms;
    for (const auto& box : boxes_)
        box->pass(ms);
    ports.carry(ms);
    while (!plans_.empty() && plans_.begin()->first <= now_ms_) {
        const auto what = std::move(plans_.begin()->second);
        plans_.erase(plans_.begin());
        what();
    }
    if (timers_ && !stalled_) timers_->advance(daemon_time());
}

}  // namespace pairmark::days
