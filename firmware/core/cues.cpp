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

uint8_t Cues::lit_at(uint8_t place, uint32_t now) {
    const uint8_t bit = static_cast<uint8_t>(1U << place);
    if ((on_ & bit) == 0) return 0;
    const uint8_t slots = static_cast<uint8_t>(flash_word(&rhythms[place].slots_and_then));
    uint32_t slot = (now - since_[place]) / slot_ms;
    if (slot >= slots) {
        if (then_of(place) == Then::lit) return bit;
        if (then_of(place) == Then::dark) {
            on_ &= static_cast<uint8_t>(~bit);
            return 0;
        }
        slot %= slots;
    }
    return ((flash_word(&rhythms[place].lamp) >> slot) & 1U) != 0 ? bit : 0;
}

void Cues::drive(Board& board, uint32_t now) {
    if (!dirty_ && !reached(now, next_ms_)) return;
    dirty_ = false;
    next_ms_ = now + slot_ms / 10;
    uint8_t lamps = 0;
    for (uint8_t place = 0; place < cue_count; ++place)
        lamps |= lit_at(place, now);
    uint16_t hz = 0;
    if (tone_ < cue_count) {
        const uint32_t slot = (now - tone_since_) / slot_ms;
        if (slot >= 16) {
            tone_ = cue_count;
        } else if (((flash_word(&rhythms[tone_].tone) >> slot) & 1U) != 0) {
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
