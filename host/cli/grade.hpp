// `pairmark grade`: pairs in, verdicts out, a JSON line each; no store, no instrument.
//
// Trust: the input is text from outside. A line is graded whole or refused whole:
//   C1  powers are finite numbers, sphere within ±30 D, cylinder within ±12 D, axis 0 to 180 where there is a
//   cylinder; C2  marks are words of the vocabulary; a member whose name is nearly a known one is taken for a
//   slip and refused,
//       any other unknown member is somebody else's and ignored;
//   C3  a line is at most 64 kB.
#pragma once

#include <iosfwd>
#include <string>

#include "host/grading/rules.hpp"
#include "host/optics/power.hpp"
#include "host/record/pair.hpp"

namespace CLI {
class App;
}

namespace pairmark::cli {

struct GradeOptions {
    grading::Rules rules;
    /// What the instrument counts in. At 1/8 D, numbers cut to two digits (.12 .37 .62 .87) are taken as the
    /// eighths that they stand for; at any other step numbers are taken literally.
    optics::Dioptre step = optics::Dioptre::hundredths(25);
};

/// Reads JSON Lines, writes a line for every line that is not blank: the verdict, or {"error": ...} in its
/// place. Returns the exit status: 0, or 2 if a line could not be read as a pair.
int run_grade(std::istream& in, std::ostream& out, const GradeOptions& options);

/// A pair from one line of input; what the pair's lenses lack, grading says. Throws record::BadRecord with a
/// sentence that names the place.
record::Pair pair_from_line(const std::string& line, optics::Dioptre step);

/// The verdict as a line of output.
std::string line_of(const record::Verdict& verdict);

/// Adds the command `grade` to `app`. When it is chosen, CLI11's parse runs it on standard input and output
/// and sets `status` to the exit status; 1 if the rules cannot be read, which is said on standard error.
/// `status` must outlive `app`.
void add_grade(CLI::App& app, int& status);

}  // namespace pairmark::cli
