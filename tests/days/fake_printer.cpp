#include "tests/days/fake_printer.hpp"

namespace pairmark::days {

using record::PrintOutcome;

printing::Result FakePrinter::print(const printing::Job& job) {
    Mood now = mood;
    if (now == Mood::bad_day) now = static_cast<Mood>(chance_.below(4));
    const auto comes_out = [&] {
        pile.push_back({job.number, job.copy, is_in_force(job.number)});
        if (prints_twice) pile.push_back(pile.back());
    };
    switch (now) {
        case Mood::out_of_paper:
            tell("printer: no paper for " + job.number);
            return {PrintOutcome::failed, "the printer has no paper; put some in"};
        case Mood::doubtful:
            if (chance_.one_in(2)) comes_out();
            doubted.insert(job.number);
            tell("printer: in doubt " + job.number);
            return {PrintOutcome::in_doubt,
                    "the printer went away while it printed; look whether it came out"};
        case Mood::taken_names:
            tell("printer: held " + job.number);
            return {PrintOutcome::held,
                    "another document has that name; move it away, then release the label"};
        case Mood::good:
        case Mood::bad_day:
            break;
    }
    comes_out();
    tell("printer: printed " + job.number);
    return {PrintOutcome::printed, ""};
}

}  // namespace pairmark::days
