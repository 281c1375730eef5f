// The bench's work on events: store first, then pair, grade, number and print. No port and no loop: the
// daemon calls it for whatever happens, and trials call it without a daemon.
//
// A reading's way here:  take() - commit - [the caller acknowledges] - settle() - number, label and intent in
// one commit - document out - outcome committed (host/printing/outbox).  A cut between any two is made good
// by start(), which begins by finishing what was left.
#pragma once

#include <cstdint>
#include <deque>
#include <functional>
#include <map>
#include <optional>
#include <set>
#include <string>

#include "host/bench/announcer.hpp"
#include "host/bench/check_watch.hpp"
#include "host/bench/clock_watch.hpp"
#include "host/bench/config.hpp"
#include "host/bench/lamps.hpp"
#include "host/bench/pipeline.hpp"
#include "host/bench/timers.hpp"
#include "host/printing/outbox.hpp"
#include "host/store/store.hpp"
#include "protocol/event_record.hpp"

namespace pairmark::bench {

class Sorting {
  public:
    struct Seams {
        store::Store& store;
        printing::Printer& printer;
        Timers& timers;
        Announcer& announcer;
        std::function<void(const std::string& show)> cue;  // to the adapter's lamps and tone
        std::function<std::string(const std::string& number)>
            label_file;  // where a label's document lies, for people
        /// Draws a label; none: as host/label does. Trials that make thousands need no pages.
        std::function<std::string(const record::LabelFacts&, const record::LabelPaper&)> draw{};
    };
    /// `rules`: the programme's rules as text, already checked.
    Sorting(Seams seams, Config config, std::string rules);
    ~Sorting();
    Sorting(const Sorting&) = delete;
    Sorting& operator=(const Sorting&) = delete;

    /// Goes through all stored events, finishes what a cut left undone, and takes configuration and rules in
    /// force. Throws store::StoreFault, store::StoreFailure or record::BadRecord if the store cannot be read.
    void start();

    enum class Taken { stored, known, clash, failed };
    /// Keeps a numbered event of the adapter, durably. `stored` and `known`: acknowledge it. `line` goes to
    /// the quarantine.
    Taken take(const protocol::EventLine& event, const std::string& adapter, const std::string& line,
               bool link_healthy);
    /// The adapter was greeted.
    void greeted(const record::Greeted& greeting);
    /// Whether readings from here on come by a profile that says that both lenses are measured on one unmoved
    /// table.
    void measures_on_one_table(bool one_table) { one_table_ = one_table; }
    /// A person's act, from a command or the page. Returns what to answer.
    std::string act(const record::Acted& act);
    /// Follows up everything kept since the last call: pairs, verdicts, labels. Call after the
    /// acknowledgement was sent.
    void settle();

    /// The half pair at the bench, if there is one; the caller times it and calls `half_pair_is_old`.
    std::optional<std::int64_t> half_pair() const;
    /// False if that could not be kept: ask again later.
    bool half_pair_is_old(std::int64_t pair);

    /// The adapter that was greeted last, in this run or an earlier one; none: never.
    const std::optional<record::Greeted>& last_greeted() const { return last_greeted_; }

    const Pipeline& pipeline() const { return pipeline_; }

  private:
    /// `what` of a note about a label that was refused.
    static constexpr const char* label_refused = "label-refused";

    bool begin_work();
    bool put_in_force();
    bool keep_greeting();
    void time_check();
    bool keep(record::EventBody body);
    void follow(const Outcome& outcome);
    void follow_void(const Outcome& outcome);
    bool verdict_follows(std::int64_t pair) const;
    void show(const record::Pair& pair);
    void show_lamp(const record::Pair& pair);
    void put_row(const record::Pair& pair);
    void put_rows_due();
    void label(std::int64_t pair);
    void finish_leftovers();
    bool is_a_row_behind() const;
    void no_label_yet(std::int64_t pair, const std::string& why);
    void refuse_label(std::int64_t pair, const std::string& why);
    bool release_label(const record::Acted& act);
    void try_again_later();
    void try_again();
    void tend_printer_lamp();
    void remember(const record::Event& event);
    void trouble(const std::string& say);
    printing::Outbox::Seams outbox_seams();
    std::optional<std::string> held_by_clock() const;

    Seams seams_;
    Config config_;
    std::string rules_;
    Pipeline pipeline_;
    std::deque<Outcome> pending_;
    std::map<std::int64_t, std::string> places_;  // of pairs that ever had a number
    ClockWatch clock_;
    CheckWatch check_;
    std::optional<TimerId> check_timer_;
    bool one_table_ = false;
    std::optional<record::Greeted> last_greeted_;
    Lamps lamps_;
    printing::Outbox outbox_;
    bool begun_ = false;
    std::optional<record::Greeted> greeting_due_;       // heard, and not kept yet
    std::deque<record::EventBody> to_put_in_force_;     // of this start; what could not be kept yet
    std::map<std::int64_t, std::string> no_label_yet_;  // kept pairs whose label could not be made; why
    std::set<std::int64_t> decided_elsewhere_;  // imported pairs: their labels belong to another bench
    std::set<std::int64_t> rows_due_;           // pairs whose row could not be written
    std::set<std::string> shown_without_;       // numbers shown before their label came out
    std::set<std::string> noted_;               // refusals of labels that stand in the session
    std::optional<TimerId> again_;
    std::string last_trouble_;
    std::string answers_;
};

/// An adapter's event as the session keeps it: hundredths to dioptres, cut eighths repaired where the step is
/// 1/8.
record::EventBody body_of(const protocol::EventLine& event, const std::string& adapter, bool late,
                          bool one_table = false);

}  // namespace pairmark::bench
