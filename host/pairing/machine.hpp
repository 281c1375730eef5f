// The inside of Table. readings.cpp, acts.cpp, answers.cpp and undo.cpp each hold one kind of event.
#pragma once

#include <cstdint>
#include <deque>
#include <string>
#include <string_view>
#include <vector>

#include "host/pairing/pairing.hpp"
#include "host/pairing/question.hpp"
#include "host/pairing/slot.hpp"

namespace pairmark::pairing {

class Table::Machine {
  public:
    explicit Machine(Settings settings) : settings_(settings) {}

    std::vector<Change> apply(const record::Event& event);
    bool settle(std::int64_t id, record::Decision decision);
    void use(Settings settings) { settings_ = settings; }

    bool needs_decision(std::int64_t id) const;
    const Slot* find(std::int64_t id) const;
    const Slot* in_hand() const;
    const Slot* latest() const { return find(hand_); }
    std::int64_t count() const { return static_cast<std::int64_t>(slots_.size()); }
    std::optional<record::Eye> awaited() const;
    record::InstrumentCheck instrument_check() const { return check_; }

  private:
    // readings.cpp
    void take_reading(const record::ReadingTaken& taken, std::int64_t sequence);
    void take_lens(Arrival arrival);
    void take_capture(Arrival first, Arrival second, bool by_instrument);
    bool is_as_before(const Slot& slot, const Arrival& arrival, record::Eye eye) const;
    void hold_after_restart(Slot& slot, Arrival arrival);
    bool would_join(const Slot& slot, const Arrival& arrival) const;
    void join(Slot& slot, Arrival arrival);
    void place(Slot& slot, Arrival arrival, record::Eye eye);
    static void put(Slot& slot, const Arrival& arrival, record::Eye eye);

    // acts.cpp
    void press(const record::KeyPressed& pressed);
    void act(const record::Acted& acted);
    void mark(Slot* slot, const record::Marks& values);
    void look_over(Slot& slot);
    void go_on();
    void turn_down(Slot& slot, const std::string& reason);
    void turn_down_in_hand(const std::string& reason);
    void set_aside(Slot& slot);
    void set_aside_in_hand();
    void release(Slot& slot);
    void time_out(const record::TimedOut& timed_out);
    void check_instrument(const std::string& result);
    void number(const record::Numbered& numbered);

    // answers.cpp
    void answer_question(Slot& slot, std::string_view choice);
    void answer_same_lens_twice(Slot& slot, std::string_view choice);
    void answer_after_restart(Slot& slot, std::string_view choice);
    void answer_not_cleared(Slot& slot, std::string_view choice);
    void place_in_order(Slot& slot, const Arrival& arrival, record::Eye eye);
    void begin_from(Slot& slot, std::vector<Arrival> arrivals);
    void take_up_again(Slot& slot);

    // undo.cpp
    bool undo(Slot& slot);
    void undo_whole_pair();
    bool may_undo(const Slot& slot);
    void restore(Slot& slot, Step& step);
    void vanish(Slot& slot);

    // table.cpp
    Slot* slot(std::int64_t id);
    Slot* hand() { return slot(hand_); }
    /// The pair in hand while both lenses are not there and it may take a reading or a mark.
    Slot* open_in_hand();
    /// A new pair in hand. The one before is put away.
    Slot& begin();
    Slot& add_slot();
    /// Every act on an existing pair begins here: remembers how it was, voids its label, takes it back to be
    /// decided anew.
    Step& remember(Slot& slot);
    void void_label(Slot& slot);
    /// Puts the pair in hand away and notes that in `step`, so that undoing the step takes it up again.
    void put_away_hand(Step& step);
    /// A pair that is away must not lie there undecided without a word: the question it was asked, or empty.
    static std::string_view ask_what_is_missing(Slot& slot);
    /// Every change of a pair ends here.
    void done(Slot& slot);
    void say(std::int64_t pair, std::string sentence);

    Settings settings_;
    record::InstrumentCheck check_ = record::InstrumentCheck::due;
    std::deque<Slot> slots_;   // id - 1 is the place
    std::int64_t hand_ = 0;    // the pair last in the volunteer's hands, be it in its tray by now; 0: none
    std::uint32_t boots_ = 0;  // restarts of the adapter, and changes of adapter, epoch or store
    std::vector<Change> changes_;
};

}  // namespace pairmark::pairing
