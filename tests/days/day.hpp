// A day at the bench from one seed, and what must be true in the evening.
//
// The real daemon on a real store and the adapter's real core; clock, cables, power, printer and people come
// from the seed. In the evening, when all troubles are over and everything had its time:
//   I1  every reading and key press whose *accepted* was seen is in the store, as often as it was seen and no
//       oftener; so is every act that was answered as done;
//   I2  no reading is in the store that the instrument never printed;
//   I3  each is exactly one of: part of one decided pair, replaced, undone, set aside, in half a pair or a
//       question that is shown;
//   I4  every kept pair bears exactly one number, unless its label was refused for what is missing on it, and
//       no other pair bears one;
//   I5  no number came out unmarked, and no copy of it, more than once; one that is printed or confirmed came
//       out exactly once;
//   I6  nothing came out after it was void;
//   I7  what may have come out, and nothing else, is listed as in doubt; nothing else is left undone;
//   I8  no adapter has anything left to tell;
//   I9  the adapter's lamps tell the truth: the printer's is lit exactly where a label is in doubt;
//   I10 all that is derived in the store follows from its events (`pairmark verify`).
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace pairmark::days {

/// Protections that a trial of the trial takes away.
enum class Without {
    nothing,
    printing_once,
    asking_before_printing,
    keeping_before_cue,
    storing_before_acknowledging
};

struct DayReport {
    std::vector<std::string> broken;  // empty: all of it is true
    std::string story;
    std::map<std::string, unsigned> met;  // troubles
    unsigned readings = 0;
    unsigned pairs = 0;
    unsigned numbers = 0;
    unsigned in_doubt = 0;
    unsigned voided = 0;
    unsigned late = 0;
    unsigned again = 0;
    unsigned torn = 0;
    unsigned greetings = 0;
    std::uint64_t ms = 0;  // simulated
};

DayReport play_day(std::uint64_t seed, bool wants_story = false, Without without = Without::nothing);

}  // namespace pairmark::days
