// Lamps and tone. A cue is known by its place and its rhythm, never by colour alone; its tone by number and
// length of the notes before its pitch. One slot of a rhythm is 100 ms; `#` lit or sounding, `.` dark or
// silent.
//
//   place  cue          lamp, once          then     tone (Hz)
//   0      keep         ##########          lit      1500 ###
//   1      discard      ##..##..            lit       600 ##.##
//   2      ask          ######..######..    lit      1000 ###.#.###
//   3      accepted     ##                  dark     2000 #
//   4      refused      #.#.#.#.#.#.        dark      400 ##.##.##
//   5      host absent  #.........          for ever silent
//   6      memory full  #.#.####            for ever silent (each refused event sounds as refused)
//   7      printer      ##.#....            for ever  800 #.#
//
// keep, discard and ask exclude each other and go out with the next accepted reading. docs/cues.md says it
// for the bench.
#pragma once

#include <stdint.h>

#include "firmware/core/board.hpp"

namespace pairmark {
namespace firmware {

/// The value is the lamp's place.
enum class Cue : uint8_t { keep, discard, ask, accepted, refused, host_absent, memory_full, printer };
constexpr uint8_t cue_count = 8;

class Cues {
  public:
    static constexpr uint8_t slot_ms = 100;

    /// Begins a cue; one that goes on for ever is not begun again while it lasts.
    void start(Cue cue, uint32_t now);
    void stop(Cue cue);
    void stop_verdict();
    bool shows(Cue cue) const { return (on_ & (1U << static_cast<uint8_t>(cue))) != 0; }
    /// Starts or stops a lasting cue.
    void hold(Cue cue, bool on, uint32_t now);

    /// Drives lamps and tone; call once a step.
    void drive(Board& board, uint32_t now);

  private:
    bool is_lit(uint8_t place, uint8_t bit, uint32_t now);
    uint32_t since_[cue_count];
    uint8_t on_;
    uint32_t tone_since_;
    uint8_t tone_ = cue_count;  // cue that sounds; cue_count: none
    uint8_t lamps_;
    uint16_t hz_;
    uint32_t next_ms_;
    bool dirty_ = true;
};

}  // namespace firmware
}  // namespace pairmark
