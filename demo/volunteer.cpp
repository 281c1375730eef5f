#include "demo/volunteer.hpp"

namespace pairmark::demo {
namespace {

constexpr std::size_t accepted_lamp = 3;
constexpr std::size_t refused_lamp = 4;
constexpr std::int64_t key_held_us = 150'000;
constexpr std::int64_t no_cue_after_us = 8'000'000;
// The refused lamp blinks, dark for a tenth of a second at a time; this long dark means that the cue is over.
constexpr std::int64_t over_when_dark_us = 350'000;

bool lit(const Tick& tick, std::size_t place) {
    return place < tick.lamps.size() && tick.lamps[place] == '1';
}

}  // namespace

Deed Volunteer::see(const Tick& tick, bool ready) {
    Deed deed;
    const std::int64_t now = tick.us;
    const bool accepted = lit(tick, accepted_lamp);
    const bool refused = lit(tick, refused_lamp);
    switch (state_) {
        case State::idle:
            if (!ready) {
                wake_us_ = now + 1'000'000;
            } else if (now - since_us_ < pause_us_) {
                wake_us_ = since_us_ + pause_us_;
            } else if (next_ < script_.acts.size()) {
                begin_next(now, deed);
            }
            break;
        case State::waiting:
            if (accepted || refused) {
                accepted ? ++accepted_ : ++refused_;
                state_ = State::cued;
                dark_since_us_ = -1;
                wake_us_ = now + 1'000'000;
            } else if (now - since_us_ >= no_cue_after_us) {
                stuck_ = "the adapter gave no cue for a reading within 8 s";
            }
            break;
        case State::cued:
            if (accepted || refused) dark_since_us_ = -1;
            if (!accepted && !refused && dark_since_us_ < 0) dark_since_us_ = now;
            if (dark_since_us_ >= 0 && now - dark_since_us_ >= over_when_dark_us) {
                state_ = State::idle;
                since_us_ = now;
                wake_us_ = now + pause_us_;
            } else {
                wake_us_ = dark_since_us_ < 0 ? now + 1'000'000 : dark_since_us_ + over_when_dark_us;
            }
            break;
        case State::pressing:
            if (now - since_us_ >= key_held_us) {
                deed.board.push_back("key " + key_ + " up");
                state_ = State::cued;  // a key is answered by a lamp or by none: go on when no lamp is lit
                dark_since_us_ = now;
                wake_us_ = now + over_when_dark_us;
            }
            break;
    }
    return deed;
}

void Volunteer::begin_next(std::int64_t now, Deed& deed) {
    while (next_ < script_.acts.size() && script_.acts[next_].what == Act::What::say)
        deed.say.push_back(script_.acts[next_++].text);
    if (next_ == script_.acts.size()) return;
    const Act& act = script_.acts[next_++];
    since_us_ = now;
    if (act.what == Act::What::key) {
        key_ = act.text;
        deed.board.push_back("key " + key_ + " down");
        state_ = State::pressing;
        wake_us_ = now + key_held_us;
        return;
    }
    deed.instrument_bytes = act.what == Act::What::measure ? capture(act.eye, act.lens) : act.text;
    state_ = State::waiting;
    wake_us_ = now + no_cue_after_us;
}

}  // namespace pairmark::demo
