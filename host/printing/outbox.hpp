// The labels on their way to paper: each goes out at most once unmarked, and each that did not is on a list
// that says why.
//
//   waiting --(begins)--> sending --> printed | in doubt            in doubt: only a person goes on
//   waiting --> printed | failed (tried again) | held               held: a person, or the clock
//   printed, in doubt --a person--> confirmed;  any --its number is taken back--> void
//
// Invariants:
//   O1  nothing is handed to the printer whose intent is not durable, or whose number is no longer in force;
//   O2  an intent that may have come out (sending, in doubt) is never handed over again; a second print is an
//       intent of its own and says COPY;
//   O3  what a printer answered is remembered until the store has it: it is written again, not printed again;
//   O4  what was waiting when the program began may be there already: its number is not called unprinted;
//   O5  one job at a time, in the order of the intents.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>

#include "host/printing/printer.hpp"
#include "host/record/event.hpp"
#include "host/store/store.hpp"

namespace pairmark::printing {

class Outbox {
  public:
    /// How the outcome of a label begins that no printer holds, but the bench: it goes out by itself.
    static constexpr const char* held_by_ourselves = "held: this computer's clock";

    struct Seams {
        store::Store& store;
        Printer& printer;
        std::function<std::string(const record::LabelFacts&)> draw;
        std::function<std::string()> moment;                  // now, as events bear it
        std::function<void(const record::Event&)> kept;       // an event was committed
        std::function<void(const std::string& say)> tell;     // of a label that did not come out
        std::function<void(const std::string& say)> trouble;  // of the store
        std::function<bool(std::int64_t pair, const std::string& number)> in_force;
        std::function<std::optional<std::string>()>
            held_because;  // why no label may go out now; begins as above
        /// `was_missed`: people were told that it had not come out.
        std::function<void(std::int64_t pair, const std::string& number, bool was_missed)> came_out;
        std::function<void()> changed;      // `needs_person` may say something else now
        std::function<void()> again_later;  // call `again` in a while
    };
    explicit Outbox(Seams seams);
    Outbox(const Outbox&) = delete;
    Outbox& operator=(const Outbox&) = delete;

    /// Every event of the session, in order: whether labels are held stands there.
    void saw(const record::Event& event);
    /// Takes up what an earlier run left. What was being sent is in doubt from here. Prints nothing yet.
    void start();
    /// An intent that is durable; it goes out in its turn.
    void add(const record::PrintIntent& intent);
    /// Tries again what failed, waits for the clock, or could not be written. Call after `start`, and when
    /// `again_later` asked for it.
    void again();
    /// The number is void. Returns what a person is to do with the label.
    std::string take_back(const std::string& number);

    /// A person's act on labels ("print-again", "print-confirm", "print-release", with the number as text;
    /// "print-hold", "print-resume"). Returns what to answer.
    std::string act(const record::Acted& act);
    static bool is_act(const std::string& act) { return act.starts_with("print-"); }
    /// Lets a held label be tried again. False if none of that number is held.
    bool release(const std::string& number);

    /// Its unmarked print has come out, as far as the printer says.
    bool is_out(const std::string& number) const;
    /// What was said of a label that has not come out; empty: nothing.
    std::string said_of(const std::string& number) const;
    bool needs_person() const;
    /// Labels wait until the clock is right.
    bool waits_for_hold() const;

  private:
    using Outcome = record::PrintOutcome;
    struct Entry {
        std::int64_t pair = 0;
        std::string number;
        int copy = 0;
        Result now{Outcome::waiting, ""};     // as it is
        Result stored{Outcome::waiting, ""};  // as the store has it
        std::string said;                     // to people
        bool may_be_there = false;  // begun by an earlier run, which did not hear the printer's answer
        bool by_hold = false;       // held by ourselves, not by the printer

        bool is_unwritten() const;
    };
    using Entries = std::map<std::int64_t, Entry>;  // by intent; what is settled is not here

    void pump();
    bool hand_over(std::int64_t id, Entry& entry);
    bool begins(std::int64_t id);
    void done(std::int64_t id, Result result);
    void settle(std::int64_t id, Result result);
    void say_not_out(Entry& entry);
    bool write(std::int64_t id);
    void write_voids();
    Entries::iterator first_of(const std::string& number);
    Entries::const_iterator first_of(const std::string& number) const;
    std::string print_again(const record::Acted& act);
    std::string confirm(const record::Acted& act);
    std::string release_by(const record::Acted& act);
    std::string pause(const record::Acted& act);
    std::string answer_of(std::int64_t id, const std::string& what) const;
    std::optional<std::string> keep(const record::Acted& act, const std::function<void()>& with);

    Seams seams_;
    Entries open_;
    std::optional<std::int64_t> in_flight_;
    bool pumping_ = false;
    bool paused_ = false;                       // a person holds all labels
    std::map<std::string, std::string> voids_;  // numbers whose void could not be written yet; what was said
    std::shared_ptr<int> alive_ = std::make_shared<int>();  // a late answer must not reach a dead outbox
};

}  // namespace pairmark::printing
