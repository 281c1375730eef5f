#include "tests/days/fake_printer.hpp"

#include <algorithm>

namespace pairmark::days {

using record::PrintOutcome;

void FakePrinter::print(printing::Job job, Begins begins, Done done) {
    Mood now = mood;
    if (now == Mood::bad_day) now = static_cast<Mood>(chance_.below(4));
    unsigned delay = 0;
    if (late_one_in != 0 && chance_.one_in(late_one_in)) {
        delay = chance_.between(1, 8000);
        ++late;
    }
    // The time that a device takes to wake up, and the time that any takes to answer.
    const unsigned waking = delay == 0 || kind == Kind::folder ? 0 : chance_.below(delay);
    const std::weak_ptr<int> program = program_;
    later(waking, [=, this, job = std::move(job), begins = std::move(begins), done = std::move(done)] {
        // A program that is gone before the first byte leaves sends none.
        if (!program.expired()) begin(job, now, delay - waking, begins, done);
    });
}

void FakePrinter::later(unsigned ms, std::function<void()> what) {
    if (ms == 0) return what();
    after(ms, std::move(what));
}

void FakePrinter::begin(const printing::Job& job, Mood now, unsigned delay, const Begins& begins, Done done) {
    const std::string name = job.number + (job.copy > 0 ? " copy " + std::to_string(job.copy) : "");
    const std::weak_ptr<int> program = program_;
    const auto answer = [=, this](const char* how, PrintOutcome outcome, const std::string& say) {
        later(delay, [=, this] {
            if (program.expired()) return;
            tell("printer: " + std::string(how) + " " + name);
            done({outcome, say});
        });
    };
    if (now == Mood::out_of_paper) {
        ++failed;
        return answer("no paper for", PrintOutcome::failed, "the printer has no paper; put some in");
    }
    if (now == Mood::taken_names) {
        ++held;
        return answer("held", PrintOutcome::held,
                      "another document has that name; move it away, then release the label");
    }
    if (kind == Kind::folder) {
        come_out(job);
        return answer("printed", PrintOutcome::printed, "");
    }
    if (asks_nobody) come_out(job);
    if (!begins()) {
        ++failed;
        return answer("may not begin", PrintOutcome::failed, "that it begins could not be noted");
    }
    const bool doubtful = now == Mood::doubtful;
    if (!asks_nobody && (!doubtful || chance_.one_in(2))) come_out(job);
    if (!doubtful) return answer("printed", PrintOutcome::printed, "");
    doubted.emplace(job.number, job.copy);
    answer("in doubt", PrintOutcome::in_doubt,
           "the printer went away while it printed; look whether it came out");
}

void FakePrinter::come_out(const printing::Job& job) {
    const bool there = std::any_of(pile.begin(), pile.end(), [&job](const Sheet& sheet) {
        return sheet.number == job.number && sheet.copy == job.copy;
    });
    if (kind == Kind::folder && there) return;
    pile.push_back({job.number, job.copy, is_in_force(job.number)});
    if (prints_twice) pile.push_back(pile.back());
}

}  // namespace pairmark::days
