#include "firmware/core/cues.hpp"

#include "firmware/core/flash_text.hpp"

namespace pairmark {
namespace firmware {
namespace {

enum class Then : uint8_t { dark, lit, again };

struct Rhythm {
    uint16_t lamp;            // slot 0 in the lowest bit
    uint16_t slots_and_then;  // slots in the low byte
    uint16_t tone;            // slot 0 in the lowest bit
    uint16_t hz;
};

constexpr uint16_t bits_of(const char* rhythm, uint8_t at = 0) {
    return rhythm[at] == 0 ? 0
                           : static_cast<uint16_t>((rhythm[at] == '#' ? 1U << at : 0U) |
                                                   bits_of(rhythm, static_cast<uint8_t>(at + 1)));
}

constexpr uint8_t slots_of(const char* rhythm) {
    return *rhythm == 0 ? 0 : static_cast<uint8_t>(1 + slots_of(rhythm + 1));
}

constexpr Rhythm rhythm(const char* lamp, Then then, uint16_t hz, const char* tone) {
    return {bits_of(lamp), static_cast<uint16_t>(slots_of(lamp) | (static_cast<uint16_t>(then) << 8)),
            bits_of(tone), hz};
}

constexpr Rhythm rhythms[cue_count] PAIRMARK_FLASH = {
    rhythm("##########", Then::lit, 1500, "###"),
    rhythm("##..##..", Then::lit, 600, "##.##"),
    rhythm("######..######..", Then::lit, 1000, "###.#.###"),
    rhythm("##", Then::dark, 2000, "#"),
    rhythm("#.#.#.#.#.#.", Then::dark, 400, "##.##.##"),
    rhythm("#.........", Then::again, 0, ""),
    rhythm("#.#.####", Then::again, 0, ""),
    rhythm("##.#....", Then::again, 800, "#.#"),
};

Then then_of(uint8_t place) {
    return static_cast<Then>(flash_word(&rhythms[place].slots_and_then) >> 8);
}

/// `passed` milliseconds after a rhythm's begin, 1600 at most.
bool is_set(const uint16_t* rhythm, uint32_t passed) {
    return ((flash_word(rhythm) >> (static_cast<uint16_t>(passed) / Cues::slot_ms)) & 1U) != 0;
}

}  // namespace

void Cues::start(Cue cue, uint32_t now) {
    const uint8_t place = static_cast<uint8_t>(cue);
    const uint8_t bit = static_cast<uint8_t>(1U << place);
    if (then_of(place) == Then::again && (on_ & bit) != 0) return;
    on_ |= bit;
    since_[place] = now;
    if (flash_word(&rhythms[place].hz) != 0) {
        tone_ = place;
        tone_since_ = now;
    }
    dirty_ = true;
}

void Cues::stop(Cue cue) {
    const uint8_t bit = static_cast<uint8_t>(1U << static_cast<uint8_t>(cue));
    if ((on_ & bit) == 0) return;
    on_ &= static_cast<uint8_t>(~bit);
    dirty_ = true;
}

void Cues::stop_verdict() {
    stop(Cue::keep);
    stop(Cue::discard);
    stop(Cue::ask);
}

void Cues::hold(Cue cue, bool on, uint32_t now) {
    if (on) {
        start(cue, now);
    } else {
        stop(cue);
    }
}

bool Cues::is_lit(uint8_t place, uint8_t bit, uint32_t now) {
    const uint16_t slots_and_then = flash_word(&rhythms[place].slots_and_then);
    const uint16_t whole = static_cast<uint16_t>((slots_and_then & 0xFF) * slot_ms);
    while (now - since_[place] >= whole) {
        const Then then = static_cast<Then>(slots_and_then >> 8);
        if (then == Then::lit) return true;
        if (then == Then::dark) {
            on_ &= static_cast<uint8_t>(~bit);
            return false;
        }
        since_[place] += whole;
    }
    return is_set(&rhythms[place].lamp, now - since_[place]);
}

void Cues::drive(Board& board, uint32_t now) {
    if (!dirty_ && !reached(now, next_ms_)) return;
    dirty_ = false;
    next_ms_ = now + slot_ms / 10;
    uint8_t lamps = 0;
    uint8_t bit = 1;
    for (uint8_t place = 0; place < cue_count; ++place) {
        if ((on_ & bit) != 0 && is_lit(place, bit, now)) lamps |= bit;
        bit = static_cast<uint8_t>(bit << 1);
    }
    uint16_t hz = 0;
    if (tone_ < cue_count) {
        const uint32_t passed = now - tone_since_;
        if (passed >= 16 * slot_ms) {
            tone_ = cue_count;
        } else if (is_set(&rhythms[tone_].tone, passed)) {
            hz = flash_word(&rhythms[tone_].hz);
        }
    }
    if (lamps != lamps_) board.set_lamps(lamps);
    if (hz != hz_) board.set_tone(hz);
    lamps_ = lamps;
    hz_ = hz;
}

}  // namespace firmware
}  // namespace pairmark
