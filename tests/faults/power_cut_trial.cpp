#include "tests/faults/power_cut_trial.hpp"

#include <algorithm>
#include <cstdio>
#include <functional>
#include <stdexcept>

#include "firmware/sim/board.hpp"
#include "tests/faults/host_model.hpp"
#include "tests/faults/trial_instrument.hpp"

namespace pairmark::sim {
namespace {

constexpr uint64_t ms = clock_hz / 1000;
constexpr uint64_t off_for = 500 * ms;
constexpr uint64_t patience_for_cue = 1500 * ms;
constexpr uint64_t patience_for_greeting = 6000 * ms;
constexpr uint64_t patience_for_host = 20'000 * ms;
constexpr unsigned most_tries = 6;

/// Well-mixed bits of a number (splitmix64, public domain).
uint64_t mixed(uint64_t x) {
    x += 0x9E3779B97F4A7C15ull;
    x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9ull;
    x = (x ^ (x >> 27)) * 0x94D049BB133111EBull;
    return x ^ (x >> 31);
}

class Trial {
  public:
    Trial(const std::string& elf, const EepromBytes& adapter, const Cut& cut)
        : cut_(cut), board_(elf, cut.seed), host_(board_, trial_profile()) {
        board_.eeprom().load(adapter);
        board_.pins().on_store = [this] { watch_lamp(); };
        next_cut_ = cut.first;
        power_on();
    }

    Outcome run() {
        for (unsigned index = 0; index < trial_readings && outcome_.broken.empty(); ++index)
            measure(index);
        if (outcome_.broken.empty()) settle();
        if (outcome_.broken.empty()) compare();
        outcome_.cycles = board_.cycle();
        outcome_.torn = board_.eeprom().torn_writes();
        return outcome_;
    }

  private:
    enum class Went : uint8_t { done, late, cut };

    void power_on() {
        board_.power_on();
        cut_at_ = next_cut_ == 0 ? UINT64_MAX : board_.cycle() + next_cut_;
    }

    void watch_lamp() {
        const bool lit = board_.has_power() && board_.pins().is_lit(Lamp::accepted);
        if (lit && !lit_) ++cues_;
        lit_ = lit;
    }

    /// Goes on until `done`, for `patience` cycles at most, or through the next cut until the power is back.
    Went advance(const std::function<bool()>& done, uint64_t patience) {
        const uint64_t until = std::min(board_.cycle() + patience, cut_at_);
        if (board_.run_until(done, until > board_.cycle() ? until - board_.cycle() : 0)) return Went::done;
        if (board_.cycle() < cut_at_) return Went::late;
        board_.power_cut();
        host_.adapter_went_away();
        board_.run_for(off_for);
        next_cut_ = next_cut_ == cut_.first && !had_first_ ? cut_.second : 0;
        had_first_ = true;
        power_on();
        return Went::cut;
    }

    void measure(unsigned index) {
        for (unsigned tries = 0; tries < most_tries; ++tries) {
            outcome_.again += tries != 0;
            Went went = Went::cut;
            while (went == Went::cut)
                went = advance([this] { return host_.greeted() && host_.profile_in_force() && !lit_; },
                               patience_for_greeting);
            if (went == Went::late) return fail("the adapter was not ready again");
            const unsigned cues = cues_;
            for (const char byte : trial_capture(index))
                board_.instrument_port().feed(static_cast<uint8_t>(byte));
            went = Went::cut;
            while (went == Went::cut)
                went = advance([&] { return cues_ != cues; }, patience_for_cue);
            if (went == Went::done) return;
        }
        fail("reading " + std::to_string(index) + " was never accepted");
    }

    void settle() {
        const uint64_t limit = board_.cycle() + patience_for_host;
        while (board_.cycle() < limit) {
            if (host_.greeted()) host_.ping();
            if (advance([this] { return host_.waiting() == 0; }, 1000 * ms) == Went::done &&
                cut_at_ == UINT64_MAX)
                return;
        }
        fail("events still wait at the end");
    }

    void compare() {
        if (host_.clashed()) return fail("a known number came again with another check sum");
        for (unsigned index = 0; index < trial_readings; ++index) {
            const auto count = std::count_if(host_.readings().begin(), host_.readings().end(),
                                             [&](const protocol::EventFields& held) {
                                                 return held.lens[0].sphere == trial_sphere(index);
                                             });
            if (count != 1)
                return fail("the host holds accepted reading " + std::to_string(index) + " " +
                            std::to_string(count) + " times");
        }
        if (host_.readings().size() != trial_readings) fail("the host holds a reading that nobody measured");
    }

    void fail(const std::string& what) {
        outcome_.broken = what;
        for (const std::string& error : host_.errors())
            outcome_.broken += "; " + error;
    }

    Cut cut_;
    Board board_;
    HostModel host_;
    Outcome outcome_;
    uint64_t next_cut_ = 0;
    uint64_t cut_at_ = UINT64_MAX;
    bool had_first_ = false;
    bool lit_ = false;
    unsigned cues_ = 0;
};

}  // namespace

std::string id_of(const Cut& cut) {
    return std::to_string(cut.first) + "." + std::to_string(cut.second) + "." + std::to_string(cut.seed);
}

std::optional<Cut> cut_of(const std::string& id) {
    unsigned long long first = 0;
    unsigned long long second = 0;
    unsigned long long seed = 0;
    int end = 0;
    if (std::sscanf(id.c_str(), "%llu.%llu.%llu%n", &first, &second, &seed, &end) != 3 ||
        static_cast<size_t>(end) != id.size())
        return std::nullopt;
    return Cut{first, second, seed};
}

Cut cut_in_series(uint64_t index, uint64_t count, uint64_t length) {
    const uint64_t part = std::max<uint64_t>(length / count, 1);
    Cut cut;
    cut.first = 1 + index * part + mixed(index) % part;
    cut.second = index % 2 == 0 ? 0 : 1 + mixed(index + count) % (700 * ms);
    cut.seed = 1 + mixed(~index) % 1'000'000;
    return cut;
}

EepromBytes prepared_adapter(const std::string& elf, unsigned readings) {
    Board board(elf);
    HostModel host(board, trial_profile());
    board.power_on();
    const bool ready =
        board.run_until([&] { return host.greeted() && host.profile_in_force(); }, 20'000 * ms);
    if (!ready)
        throw std::runtime_error("the adapter does not get ready: " +
                                 (host.errors().empty() ? "it says nothing" : host.errors().back()));
    board.run_for(500 * ms);
    for (unsigned index = 0; index < readings; ++index) {
        for (const char byte : trial_capture(trial_readings + index))
            board.instrument_port().feed(static_cast<uint8_t>(byte));
        if (!board.run_until([&] { return host.readings().size() == index + 1; }, 3000 * ms))
            throw std::runtime_error("the adapter does not take reading " + std::to_string(index));
        board.run_for(500 * ms);
    }
    board.run_until([&] { return !board.eeprom().busy(); }, 100 * ms);
    return board.eeprom().cells();
}

Outcome run_trial(const std::string& elf, const EepromBytes& adapter, const Cut& cut) {
    return Trial(elf, adapter, cut).run();
}

}  // namespace pairmark::sim
