#include "tests/steps/bench_run.hpp"

#include <fcntl.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <sstream>
#include <stdexcept>

#include "host/bench/sorting.hpp"
#include "host/printing/folder.hpp"
#include "host/record/sha256.hpp"
#include "host/store/store.hpp"

namespace pairmark::steps {
namespace {

using bench::Milliseconds;
using bench::Sorting;
using record::PrintOutcome;

/// What a child tells, a line each. Past the counted calls, so that a kill takes nothing that was told.
class Teller {
  public:
    explicit Teller(int to_parent) : to_parent_(to_parent) {}
    void tell(const char* what, std::string text) const {
        std::replace(text.begin(), text.end(), '\n', ' ');
        const std::string line = std::string(what) + ' ' + text.substr(0, 2000) + '\n';
        (void)::syscall(SYS_write, to_parent_, line.data(), line.size());
    }
    void tell(const char* what, std::uint64_t number) const { tell(what, std::to_string(number)); }

  private:
    int to_parent_;
};

/// The way out, and somebody who looks at each document on its way there: its intent must rest on the disk,
/// the same to the byte, and must not have come out already.
class WatchedPrinter final : public printing::Printer {
  public:
    WatchedPrinter(const Run& run, const Teller& teller)
        : folder_(run.folder),
          real_(labels_of(folder_).string()),
          teller_(teller),
          wrong_(run.wrong),
          way_out_(run.way_out) {}

    std::string name() const override { return real_.name(); }
    void print(printing::Job job, Begins begins, Done done) override {
        look(job);
        if (wrong_ == Wrong::says_printed) return done({PrintOutcome::printed, ""});
        if (wrong_ == Wrong::prints_in_place || wrong_ == Wrong::prints_unflushed)
            return done(print_badly(job));
        if (way_out_ == WayOut::paper) return done(print_on_paper(job, begins));
        real_.print(std::move(job), std::move(begins), std::move(done));
    }

  private:
    void look(const printing::Job& job) const {
        const store::Store store = store::Store::open_to_read(database_of(folder_));
        const auto intent = store.intent(job.number, job.copy);
        if (!intent)
            teller_.tell("fault", "label " + job.number + " is handed out and nothing durable says so");
        else if (intent->document != job.document)
            teller_.tell("fault",
                         "label " + job.number + " is handed out with other bytes than its intent has");
        else if (intent->outcome != PrintOutcome::waiting && intent->outcome != PrintOutcome::failed &&
                 intent->outcome != PrintOutcome::held)
            teller_.tell("fault", "label " + job.number + " is handed out though it is " +
                                      std::string(record::word(intent->outcome)));
    }

    printing::Result print_on_paper(const printing::Job& job, const Begins& begins) const {
        if (wrong_ != Wrong::does_not_ask && !begins())
            return {PrintOutcome::failed,
                    "label not printed: /dev/paper: the store did not take it; look at it"};
        // Outside the counted folder: no cut takes a sheet back.
        const int fd = ::open(paper_of(folder_).c_str(), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
        const std::string sheet = job.number + ".pdf " + record::sha256(job.document) + '\n';
        (void)::write(fd, sheet.data(), sheet.size());
        (void)::close(fd);
        return {PrintOutcome::printed, ""};
    }

    printing::Result print_badly(const printing::Job& job) const {
        const auto file = labels_of(folder_) / (job.number + ".pdf");
        const std::string part = file.string() + (wrong_ == Wrong::prints_in_place ? "" : ".part");
        const int fd = ::open(part.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600);
        const bool wrote = ::write(fd, job.document.data(), job.document.size()) ==
                           static_cast<ssize_t>(job.document.size());
        (void)::close(fd);
        if (!wrote) return {PrintOutcome::failed, "it could not be written; look at the disk"};
        if (wrong_ == Wrong::prints_unflushed) (void)::rename(part.c_str(), file.c_str());
        return {PrintOutcome::printed, ""};
    }

    std::filesystem::path folder_;
    printing::Folder real_;
    const Teller& teller_;
    Wrong wrong_;
    WayOut way_out_;
};

/// The computer with its daemon. Everything that knows how the daemon wires these together stands here.
class Bench {
  public:
    Bench(const Run& run, const Teller& teller, std::chrono::system_clock::time_point now)
        : run_(run),
          timers_(now),
          announcer_(said_, bench::Announcer::Form::json),
          printer_(run, teller),
          config_(run.session.config) {
        config_.database = database_of(run.folder);
        config_.labels = labels_of(run.folder);
    }

    void start() {
        stop();
        store_.emplace(store::Store::open(config_.database));
        sorting_.emplace(
            Sorting::Seams{*store_, printer_, timers_, announcer_, [](const std::string&) {},
                           [this](const std::string& number) { return config_.labels / (number + ".pdf"); }},
            config_, run_.session.rules);
        sorting_->start();
    }
    void stop() {
        sorting_.reset();
        store_.reset();
    }

    Sorting& sorting() { return *sorting_; }
    /// Acts of people that the store has.
    std::size_t acts() const {
        std::size_t count = 0;
        store_->for_each_event([&count](const record::Event& event) {
            if (std::holds_alternative<record::Acted>(event.body)) ++count;
        });
        return count;
    }

    void advance_to(std::chrono::system_clock::time_point moment) {
        pass(std::chrono::duration_cast<Milliseconds>(moment - timers_.wall()));
    }
    void pass(Milliseconds time) {
        if (time > Milliseconds(0)) timers_.advance(timers_.now() + time);
    }
    /// Lets happen what is still to happen by itself.
    void let_time_pass() {
        for (int i = 0; i < 20 && timers_.next_due(); ++i)
            timers_.advance(*timers_.next_due());
    }
    bool waits() const { return timers_.next_due().has_value(); }

    /// What was told of troubles since the last call.
    std::vector<std::string> troubles() {
        std::vector<std::string> all;
        std::istringstream lines(said_.str());
        said_.str("");
        for (std::string line; std::getline(lines, line);) {
            const auto object = nlohmann::json::parse(line);
            if (object["tell"] == "trouble") all.push_back(object["say"]);
        }
        return all;
    }

  private:
    const Run& run_;
    bench::SteppedTimers timers_;
    std::ostringstream said_;
    bench::Announcer announcer_;
    WatchedPrinter printer_;
    bench::Config config_;
    std::optional<store::Store> store_;
    std::optional<Sorting> sorting_;
};

/// The adapter and the people, one input after another.
class Day {
  public:
    Day(const Run& run, const Teller& teller)
        : run_(run), teller_(teller), bench_(run, teller, moment_of_first()) {}

    void live() {
        const auto& inputs = run_.session.inputs;
        if (!insist([this] { return start(); })) return;
        std::size_t i = run_.first;
        if (i < inputs.size() && std::holds_alternative<Start>(inputs[i].what))
            teller_.tell("ack", i++);
        else if (const record::Greeted* heard = run_.session.greeting_before(i))
            greet_again(*heard);
        for (; i < inputs.size(); ++i) {
            bench_.advance_to(inputs[i].at);
            if (run_.wrong == Wrong::acknowledges_first) teller_.tell("ack", i);
            if (!insist([&] {
                    return std::visit([&](const auto& what) { return take(what, inputs[i]); },
                                      inputs[i].what);
                }))
                return;
            if (!acknowledged_) teller_.tell("ack", i);
            acknowledged_ = false;
            if (tell_troubles() && run_.patient) {
                bench_.let_time_pass();
                (void)tell_troubles();
            }
        }
        bench_.let_time_pass();
        if (bench_.waits()) teller_.tell("fault", "at the end something is still tried again and again");
        (void)tell_troubles();
        bench_.stop();
        end();
    }

  private:
    std::chrono::system_clock::time_point moment_of_first() const {
        const auto& inputs = run_.session.inputs;
        return run_.first < inputs.size() ? inputs[run_.first].at
                                          : inputs.back().at + std::chrono::minutes(20);
    }

    /// Once more and once more, with time between. False, and a fault, if it never succeeds.
    template <typename Try>
    bool insist(const Try& attempt) {
        for (int tries = 0; tries < 90; ++tries) {
            const bool done = attempt();
            relieve();
            if (done) return true;
            teller_.tell("again", "");
            bench_.pass(Milliseconds(1000));
        }
        teller_.tell("fault", "it never succeeds again");
        return false;
    }

    bool start() {
        try {
            bench_.start();
            acts_ = bench_.acts();
            return true;
        } catch (const std::exception& fault) {
            // `pairmark run` ends with these words, and is started again.
            if (run_.wrong != Wrong::swallows_failures) teller_.tell("said", fault.what());
            bench_.stop();
            return false;
        }
    }

    /// A daemon that has just been started has nothing to compare the adapter's greeting with.
    void greet_again(record::Greeted greeting) {
        greeting.reset = false;
        greeting.changed = false;
        bench_.sorting().greeted(greeting);
    }

    bool take(const Start&, const Input&) { return start(); }

    bool take(const record::Greeted& greeted, const Input&) {
        bench_.sorting().greeted(greeted);
        return true;
    }

    bool take(const AdapterEvent& event, const Input& input) {
        const Sorting::Taken taken = bench_.sorting().take(event.line, event.adapter, "", event.link_healthy);
        const bool kept = taken == Sorting::Taken::stored || taken == Sorting::Taken::known;
        if (taken == Sorting::Taken::clash) teller_.tell("fault", "an event clashes with itself");
        if (kept) {
            look_whether_it_rests();
            teller_.tell("ack", static_cast<std::size_t>(&input - run_.session.inputs.data()));
            acknowledged_ = true;
        }
        bench_.sorting().settle();
        return kept;
    }

    bool take(const record::Acted& act, const Input& input) {
        if (input.act < acts_) return true;  // the person sees that it is done
        const std::string answer = bench_.sorting().act(act);
        if (answer.starts_with("not done")) {
            if (run_.wrong != Wrong::swallows_failures) teller_.tell("said", answer);
            return false;
        }
        ++acts_;
        look_whether_it_rests();
        return true;
    }

    bool take(const HalfPairOld& old, const Input&) {
        if (bench_.sorting().half_pair() != old.pair) return true;
        return bench_.sorting().half_pair_is_old(old.pair);
    }

    /// What was just kept must be on the disk when somebody hears that it was.
    void look_whether_it_rests() const {
        if (has_failed()) return;
        for (const std::string& path : not_flushed())
            if (path.find("bench.db") != std::string::npos)
                teller_.tell("fault", "acknowledged while " + path + " was not flushed");
    }

    /// False if there were none.
    bool tell_troubles() {
        const std::vector<std::string> troubles = bench_.troubles();
        for (const std::string& say : troubles)
            if (run_.wrong != Wrong::swallows_failures) teller_.tell("said", say);
        return !troubles.empty();
    }

    void end() const {
        for (const std::string& path : named_too_early())
            teller_.tell("fault", path + " got its name before its bytes were flushed");
        if (run_.tell_steps)
            for (const std::string& one : history())
                teller_.tell("step", one);
        if (has_failed()) teller_.tell("failed", "");
        teller_.tell("steps", count());
        teller_.tell("end", "");
    }

    const Run& run_;
    const Teller& teller_;
    Bench bench_;
    std::size_t acts_ = 0;
    bool acknowledged_ = false;  // the input in hand
};

[[noreturn]] void be_the_bench(const Run& run, int to_parent) {
    ::alarm(120);
    const Teller teller(to_parent);
    arm((run.folder / "bench").string(), (run.folder / "attic").string(), run.blow);
    try {
        Day(run, teller).live();
    } catch (const std::exception& fault) {
        teller.tell("fault", std::string("the daemon was ended by an exception: ") + fault.what());
    }
    ::_exit(0);
}

void hear(Lived& lived, const std::string& line) {
    const std::size_t space = line.find(' ');
    const std::string what = line.substr(0, space);
    const std::string text = line.substr(space + 1);
    if (what == "ack") lived.next = std::stoul(text) + 1;
    if (what == "again") ++lived.again;
    if (what == "said") lived.said.push_back(text);
    if (what == "fault") lived.faults.push_back(text);
    if (what == "step") lived.history.push_back(text);
    if (what == "steps") lived.steps = std::stoull(text);
    if (what == "failed") lived.blow_fell = true;
    if (what == "end") lived.to_the_end = true;
}

}  // namespace

void prepare(const std::filesystem::path& folder) {
    std::filesystem::create_directories(labels_of(folder));
    std::filesystem::create_directories(folder / "attic");
}

std::filesystem::path database_of(const std::filesystem::path& folder) {
    return folder / "bench" / "bench.db";
}

std::filesystem::path labels_of(const std::filesystem::path& folder) {
    return folder / "bench" / "labels";
}

std::filesystem::path paper_of(const std::filesystem::path& folder) {
    return folder / "paper";
}

Lived live(const Run& run) {
    int ends[2];
    if (::pipe(ends) != 0) throw std::runtime_error("no pipe for a child process");
    const pid_t child = ::fork();
    if (child < 0) throw std::runtime_error("no child process");
    if (child == 0) {
        (void)::close(ends[0]);
        be_the_bench(run, ends[1]);
    }
    (void)::close(ends[1]);
    std::string told;
    char piece[4096];
    for (ssize_t got = 0; (got = ::read(ends[0], piece, sizeof piece)) > 0;)
        told.append(piece, static_cast<std::size_t>(got));
    (void)::close(ends[0]);
    int status = 0;
    (void)::waitpid(child, &status, 0);

    Lived lived;
    lived.next = run.first;
    std::istringstream lines(told);
    for (std::string line; std::getline(lines, line);)
        hear(lived, line);
    lived.was_killed = WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL;
    if (!lived.was_killed && status != 0)
        lived.faults.push_back("the bench's process ended with status " + std::to_string(status));
    else if (!lived.was_killed && !lived.to_the_end && lived.faults.empty())
        lived.faults.push_back("the bench's process ended early");
    return lived;
}

}  // namespace pairmark::steps
