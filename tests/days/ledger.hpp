// What happened at the bench as a bystander with a notebook would have it: the trial's own truth, which no
// part of Pairmark writes to.
#pragma once

#include <cstdio>
#include <string>
#include <vector>

#include "host/record/reading.hpp"

namespace pairmark::days {

/// A lens as its instrument prints it: hundredths of a dioptre, degrees. No two lenses of a day are alike.
struct Lens {
    record::Eye eye = record::Eye::right;
    int sphere = 0;
    int cylinder = 0;
    int axis = 0;

    bool is(const record::LensReading& reading) const {
        return reading.eye == eye && reading.power.sphere == optics::Dioptre::hundredths(sphere) &&
               reading.power.cylinder == optics::Dioptre::hundredths(cylinder) &&
               reading.power.axis == static_cast<double>(axis);
    }
    std::string text() const {
        char out[64];
        (void)std::snprintf(out, sizeof out, "%c %+.2f %+.2f x %03d", record::letter(eye), sphere / 100.0,
                            cylinder / 100.0, axis);
        return out;
    }
    /// As the instrument of demo/instrument.profile.json prints it.
    std::string capture() const {
        char out[64];
        (void)std::snprintf(out, sizeof out, "%c= %+06.2f & %+06.2f @ %03d ", record::letter(eye),
                            sphere / 100.0, cylinder / 100.0, axis);
        unsigned sum = 0;
        for (const char* c = out; *c != 0; ++c)
            sum ^= static_cast<unsigned char>(*c);
        char end[8];
        (void)std::snprintf(end, sizeof end, "~%02X\r\n", sum);
        return std::string(out) + end;
    }
};

struct Ledger {
    struct Measured {
        Lens lens;
        unsigned accepted = 0;  // times that the volunteer saw *accepted* for it
    };
    std::vector<Measured> lenses;
    unsigned keys_accepted = 0;
    unsigned again = 0;  // measurements and presses that had to be repeated
    unsigned acts_done =
        0;  // that the daemon did not answer with "not done"; releases and acts on labels not counted
};

}  // namespace pairmark::days
