// Keys, the page's acts, time-outs and numbers.
#include <utility>

#include "host/pairing/machine.hpp"
#include "host/record/mark.hpp"
#include "host/record/words.hpp"

namespace pairmark::pairing {

using record::PairState;

void Table::Machine::press(const record::KeyPressed& pressed) {
    switch (pressed.key) {
        case record::Key::go_on:
            return go_on();
        case record::Key::turn_down:
            return turn_down_in_hand("");
        case record::Key::set_aside:
            return set_aside_in_hand();
        case record::Key::undo:
            if (pressed.long_press) return undo_whole_pair();
            if (Slot* last = hand()) {
                undo(*last);
            } else {
                say(0, "There is nothing to take back.");
            }
            return;
    }
}

void Table::Machine::act(const record::Acted& acted) {
    if (acted.act.starts_with("print-")) return;  // of labels on their way to paper; no pair changes by it
    if (acted.act == "instrument-check") return check_instrument(acted.text);
    const bool starts_next = acted.pair == 0;  // no pair has the id 0: it means the next one
    Slot* named = acted.pair ? slot(*acted.pair) : hand();
    if (starts_next && acted.act != "mark" && acted.act != "in-order") {
        return say(0, "Only a mark or \"in order\" can begin a pair.");
    }
    if (acted.pair && !starts_next && !named) {
        return say(0, "There is no pair " + std::to_string(*acted.pair) + "; nothing was changed.");
    }
    if (acted.pair && named && named->pair().state == PairState::gone) {
        return say(*acted.pair,
                   "Pair " + std::to_string(*acted.pair) + " was taken back whole; nothing was changed.");
    }
    if (acted.act == "mark") return mark(named, acted.values);
    if (starts_next) {
        Slot& begun = begin();
        begun.pair().looked_over = true;
        return done(begun);
    }
    if (acted.act == "go-on") {
        if (!acted.pair) return go_on();
    } else if (acted.act == "turn-down") {
        return acted.pair ? turn_down(*named, acted.text) : turn_down_in_hand(acted.text);
    } else if (acted.act == "set-aside") {
        return acted.pair ? set_aside(*named) : set_aside_in_hand();
    } else if (acted.act != "in-order" && acted.act != "undo" && acted.act != "answer" &&
               acted.act != "release") {
        return say(0, "There is no act " + record::in_quotes(acted.act) + "; nothing was changed.");
    }
    if (!named) return say(0, "There is no pair yet; nothing was changed.");
    if (acted.act == "in-order") return look_over(*named);
    if (acted.act == "undo") return static_cast<void>(undo(*named));
    if (acted.act == "answer") return answer_question(*named, acted.text);
    if (acted.act == "release") return release(*named);
    // "go-on" with a name: what the key would do if that pair were in hand
    const record::Pair& pair = named->pair();
    for (const record::Question& put : pair.questions) {
        if (!put.choices.empty()) return answer_question(*named, std::string(put.choices.front()));
    }
    look_over(*named);
}

/// `slot` null: the marks begin a pair.
void Table::Machine::mark(Slot* slot, const record::Marks& values) {
    const std::int64_t id = slot ? slot->pair().id : 0;
    if (values.empty()) return say(id, "No mark was given; nothing was changed.");
    for (const auto& [name, value] : values) {
        if (const auto fault = record::fault_in_mark(name, value))
            return say(id, *fault + "; nothing was changed.");
    }
    const auto type = values.find("lens_type");
    const bool says_single = type != values.end() && type->second == "single";
    if (slot && slot->pair().power_varies && says_single)
        return say(id,
                   "A lens of this pair has two powers, so it is not single vision; nothing was changed. Was "
                   "that a mistake? Take it back with undo.");
    if (!slot) {
        slot = &begin();
    } else {
        remember(*slot);
    }
    record::Pair& pair = slot->pair();
    for (const auto& [name, value] : values)
        pair.marks[name] = value;
    if (type != values.end() && !says_single) remove_question(pair, ask::two_places);
    done(*slot);
}

void Table::Machine::look_over(Slot& slot) {
    record::Pair& pair = slot.pair();
    if (pair.looked_over) return say(pair.id, "This pair is looked over already.");
    if (pair.state == PairState::turned_down) return say(pair.id, "This pair is turned down.");
    remember(slot);
    pair.looked_over = true;
    remove_question(pair, ask::not_looked_over);
    done(slot);
}

void Table::Machine::go_on() {
    Slot* last = hand();
    if (!last) return say(0, "There is no pair yet: measure the right lens.");
    for (const record::Question& put : last->pair().questions) {
        if (!put.choices.empty()) return answer_question(*last, std::string(put.choices.front()));
    }
    if (!last->pair().looked_over && last->pair().state != PairState::turned_down) return look_over(*last);
    say(last->pair().id, "There is nothing to go on with: measure the next lens.");
}

void Table::Machine::turn_down(Slot& slot, const std::string& reason) {
    record::Pair& pair = slot.pair();
    if (pair.turned_down_because) return say(pair.id, "This pair is turned down already.");
    remember(slot);
    pair.turned_down_because = reason;
    pair.questions.clear();
    done(slot);
}

void Table::Machine::turn_down_in_hand(const std::string& reason) {
    Slot* last = hand();
    const bool undecided =
        last && !last->now.away &&
        (last->pair().state == PairState::open || last->pair().state == PairState::complete);
    if (undecided) return turn_down(*last, reason);
    Slot& begun = begin();
    begun.pair().turned_down_because = reason;
    done(begun);
}

void Table::Machine::set_aside(Slot& slot) {
    record::Pair& pair = slot.pair();
    if (pair.state == PairState::turned_down) return say(pair.id, "This pair is turned down.");
    if (has_question(pair, ask::set_aside)) return say(pair.id, "This pair is set aside already.");
    remember(slot);
    pair.questions.push_back(question(ask::set_aside));
    slot.now.away = true;
    done(slot);
}

void Table::Machine::set_aside_in_hand() {
    Slot* last = hand();
    const bool undecided =
        last && !last->now.away &&
        (last->pair().state == PairState::open || last->pair().state == PairState::complete);
    if (undecided) return set_aside(*last);
    Slot& begun = begin();
    begun.pair().questions.push_back(question(ask::set_aside));
    begun.now.away = true;
    done(begun);
}

void Table::Machine::release(Slot& slot) {
    record::Pair& pair = slot.pair();
    if (!pair.late) return say(pair.id, "This pair is not held.");
    remember(slot);
    pair.late = false;
    done(slot);
}

/// Of the readings from here on; those of before stand as they were taken.
void Table::Machine::check_instrument(const std::string& result) {
    check_ = result == "passed" ? record::InstrumentCheck::passed : record::InstrumentCheck::failed;
    say(0, check_ == record::InstrumentCheck::passed
               ? "The lens meter was checked and shows what it should."
               : "The lens meter failed its check: measure nothing with it until it shows what it should.");
}

void Table::Machine::time_out(const record::TimedOut& timed_out) {
    if (timed_out.what == "instrument-check") {
        check_ = record::InstrumentCheck::due;
        return;
    }
    if (timed_out.what != "half-pair") return;
    Slot* old = slot(timed_out.pair);
    // A time-out that comes after the other lens, or after the tray, is stale.
    if (!old || old->now.away || old->pair().state != PairState::open) return;
    old->pair().questions.push_back(question(ask::half_pair_old));
    old->now.away = true;
    say(old->pair().id, old->pair().questions.back().say);
    done(*old);
}

void Table::Machine::number(const record::Numbered& numbered) {
    Slot* named = slot(numbered.pair);
    if (!named || named->pair().state != PairState::decided) {
        return say(named ? numbered.pair : 0,
                   "Number " + record::in_quotes(numbered.number) +
                       " was given to a pair that is not decided; it labels nothing.");
    }
    for (const std::string& old : named->void_numbers) {
        if (old == numbered.number)
            return say(numbered.pair,
                       "Number " + record::in_quotes(old) + " is void and labels nothing any more.");
    }
    named->number = numbered.number;
    ++named->pair().labels_made;
    done(*named);
}

}  // namespace pairmark::pairing
