#include "tests/faults/day.hpp"

#include "tests/faults/trial_instrument.hpp"

namespace pairmark::sim {
namespace {

constexpr uint64_t ms = clock_hz / 1000;
constexpr unsigned off_ms = 500;
constexpr unsigned dip_ms = 20;
constexpr unsigned seen_after_ms = 100;  // shorter light is a flicker
constexpr unsigned turning_ms = 350;     // what turning the spectacles takes at least
constexpr unsigned patience_for_cue_ms = 1500;
constexpr unsigned patience_for_greeting_ms = 9000;
constexpr unsigned patience_for_host_ms = 20'000;
constexpr unsigned most_tries = 6;

/// The same profile with another silence.
std::vector<uint8_t> profile_at_noon(bool fast) {
    std::vector<uint8_t> profile = trial_profile();
    if (fast) profile[6] = 150;
    return profile;
}

}  // namespace

const std::vector<Day::Job> Day::jobs = {
    Job::pair,     Job::pair,     Job::replaced, Job::nonsense, Job::undone,  Job::pair, Job::aside,
    Job::pair,     Job::go_on,    Job::restart,  Job::pair,     Job::profile, Job::pair, Job::undone,
    Job::replaced, Job::nonsense, Job::pair,     Job::aside,    Job::pair,    Job::half};

Day::Day(const std::string& elf, const EepromBytes& cells) : board_(elf), host_(board_, trial_profile()) {
    board_.eeprom().load(cells);
    board_.pins().on_store = [this] { watch_lamp(); };
    board_.eeprom().on_begin = [this] {
        ++writes_;
        if (on_place) on_place(Cut::At::write, writes_);
    };
    host_.on_greeted = [this](bool reset, bool changed) { pairing_.greeted(reset, changed); };
    host_.on_event = [this](const protocol::EventLine& event) { pairing_.take(event); };
    board_.power_on();
}

Promise Day::play() {
    unsigned more = 2;  // after the cut: the job in hand, and one
    for (const Job job : jobs) {
        if (lost_power_ && more-- == 0) break;
        if (!run(job) || !look_at_screen()) break;
    }
    if (promise_.broken.empty()) compare();
    promise_.torn = board_.eeprom().torn_writes();
    return promise_;
}

bool Day::run(Job job) {
    if (!get_ready()) return false;
    switch (job) {
        case Job::pair:
            return measure_pair();
        case Job::replaced:
            return measure(next_lens_) && measure_pair();
        case Job::undone:
            if (!measure(next_lens_) || !press(BoardKey::undo, protocol::Key::undo)) return false;
            next_lens_ += 2;
            return measure_pair();
        case Job::aside:
            if (!measure(next_lens_) || !press(BoardKey::set_aside, protocol::Key::set_aside)) return false;
            next_lens_ += 2;
            return true;
        case Job::nonsense:
            for (const char byte : std::string("nonsense\r\n"))
                board_.instrument_port().feed(static_cast<uint8_t>(byte));
            (void)wait([] { return false; }, 700);
            return true;
        case Job::go_on:
            return press(BoardKey::go_on, protocol::Key::go_on);
        case Job::restart:
            board_.power_cut();
            host_.adapter_went_away();
            (void)wait([] { return false; }, off_ms);
            board_.power_on();
            return get_ready();
        case Job::profile:
            if (!look_at_screen()) return false;
            fast_profile_ = !fast_profile_;
            host_.use(profile_at_noon(fast_profile_));
            return get_ready();
        case Job::half:
            return measure(next_lens_);
    }
    return false;
}

bool Day::measure_pair() {
    const unsigned right = next_lens_;
    next_lens_ += 2;
    return measure(right) && look_at_screen() && measure(right + 1);
}

bool Day::measure(unsigned lens) {
    const bool accepted = until_accepted([&] {
        for (const char byte : trial_capture(lens))
            board_.instrument_port().feed(static_cast<uint8_t>(byte));
    });
    if (!accepted) return fail("lens " + std::to_string(lens) + " was never accepted");
    ++accepted_[lens];
    return true;
}

bool Day::press(BoardKey key, protocol::Key told) {
    const bool accepted = until_accepted([&] {
        board_.pins().press(key, true);
        (void)wait([] { return false; }, 100);
        board_.pins().press(key, false);
    });
    if (!accepted) return fail("a key press was never accepted");
    ++pressed_[told];
    return true;
}

bool Day::until_accepted(const std::function<void()>& act) {
    for (unsigned tries = 0; tries < most_tries; ++tries) {
        promise_.again += tries != 0;
        if (!get_ready()) return false;
        const unsigned cues = cues_;
        act();
        Went went = Went::cut;
        while (went == Went::cut)
            went = wait([&] { return cues_ != cues; }, patience_for_cue_ms);
        if (went == Went::done) return true;
    }
    return false;
}

/// The adapter is greeted, reads by the right profile and shows nothing that could be taken for an answer;
/// the hands have been busy for a moment.
bool Day::get_ready() {
    Went went = Went::cut;
    while (went == Went::cut) {
        went = wait([this] { return host_.greeted() && host_.profile_in_force() && !lit_; },
                    patience_for_greeting_ms);
        if (went == Went::late) return fail("the adapter was not ready again");
        if (went == Went::done && wait([] { return false; }, turning_ms) == Went::cut) went = Went::cut;
        if (went == Went::done && lit_) went = Went::cut;
    }
    return true;
}

/// Waits until the computer has everything, and does what the screen asks for.
bool Day::look_at_screen() {
    const uint64_t limit = milliseconds_ + patience_for_host_ms;
    while (milliseconds_ < limit) {
        if (host_.greeted()) host_.ping();
        if (wait([this] { return host_.waiting() == 0; }, 1000) != Went::done) continue;
        if (cut_at_ != UINT64_MAX) {  // the second cut is still to come: no screen is looked at meanwhile
            (void)wait([] { return false; }, 50);
            continue;
        }
        pairing_.answer_what_is_asked();
        return true;
    }
    return fail("events still wait at the end");
}

/// Goes on until `done`, or so long, or through the next cut until the power is back.
Day::Went Day::wait(const std::function<bool()>& done, uint64_t patience_ms) {
    const uint64_t until = milliseconds_ + patience_ms;
    const unsigned cuts = cuts_;
    while (!done()) {
        if (milliseconds_ >= until) return Went::late;
        pass_millisecond();
        if (cuts_ != cuts) return Went::cut;
    }
    return Went::done;
}

void Day::pass_millisecond() {
    if (on_place) on_place(Cut::At::moment, milliseconds_);
    const uint64_t end = board_.cycle() + ms;
    while (board_.cycle() < end) {
        // A cut may be set while the board runs: `lose_power` stops it.
        (void)board_.run_until(std::min(end, std::max(cut_at_, board_.cycle())));
        if (board_.cycle() >= cut_at_) {
            power_goes();
            break;
        }
    }
    ++milliseconds_;
    if (lit_ && !seen_ && board_.cycle() - lit_since_ >= seen_after_ms * ms) {
        seen_ = true;
        ++cues_;
    }
    if (milliseconds_ % 1000 == 0) host_.tend();
}

void Day::lose_power(const Cut& cut) {
    cut_ = cut;
    cut_at_ = board_.cycle() + cut.offset;
    board_.eeprom().reseed(cut.seed);
    board_.stop();
    lost_power_ = true;
}

void Day::power_goes() {
    ++cuts_;
    host_.adapter_went_away();
    cut_at_ = UINT64_MAX;
    if (cut_.is_reset()) {
        board_.press_reset();
    } else {
        const unsigned away = cut_.is_dip() ? dip_ms : off_ms;
        board_.power_cut();
        board_.run_for(away * ms);
        milliseconds_ += away;
        board_.power_on(cut_.is_dip() ? ResetCause::brown_out : ResetCause::power);
    }
    if (cuts_ == 1 && cut_.second != 0) cut_at_ = board_.cycle() + cut_.second;
}

void Day::watch_lamp() {
    const bool lit = board_.has_power() && board_.pins().is_lit(Lamp::accepted);
    if (lit && !lit_) {
        lit_since_ = board_.cycle();
        seen_ = false;
    }
    lit_ = lit;
}

bool Day::fail(const std::string& what) {
    if (!promise_.broken.empty()) return false;
    promise_.broken = what;
    for (const std::string& error : host_.errors())
        promise_.broken += "; " + error;
    return false;
}

void Day::compare() {
    if (host_.clashed()) fail("a known number came again with another check sum");
    if (host_.lost_identity()) fail("the adapter lost its identity");
    const std::string misplaced = pairing_.misplaced();
    if (!misplaced.empty()) fail(misplaced);
    unsigned accepted = 0;
    for (const auto& [lens, times] : accepted_) {
        accepted += times;
        const unsigned held = pairing_.readings_of(trial_sphere(lens));
        if (held != times)
            fail("lens " + std::to_string(lens) + " was accepted " + std::to_string(times) +
                 " times, the computer holds " + std::to_string(held));
    }
    if (pairing_.readings() != accepted) fail("the computer holds a reading that nobody saw accepted");
    for (const auto& [key, times] : pressed_)
        if (pairing_.keys(key) != times) fail("a key press is missing or doubled");
    // No pair is made of two people's lenses.
    for (int64_t id = 1; id <= pairing_.table().count(); ++id) {
        const record::Pair& pair = *pairing_.table().find(id);
        if (!pair.has_both()) continue;
        for (unsigned lens = 0; lens < next_lens_ + 2; lens += 2) {
            const bool right =
                pair.right->reading.power.sphere == optics::Dioptre::hundredths(trial_sphere(lens));
            const bool left =
                pair.left->reading.power.sphere == optics::Dioptre::hundredths(trial_sphere(lens + 1));
            if (right != left) fail("pair " + std::to_string(id) + " has lenses of two pairs");
        }
    }
}

}  // namespace pairmark::sim
