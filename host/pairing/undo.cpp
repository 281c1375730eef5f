// Taking acts back, one at a time, newest first.
#include <utility>

#include "host/pairing/machine.hpp"

namespace pairmark::pairing {

using record::PairState;

bool Table::Machine::may_undo(const Slot& slot) {
    const std::int64_t id = slot.pair().id;
    if (slot.steps.empty()) {
        say(id, "There is nothing to take back.");
        return false;
    }
    const Step& last = slot.steps.back();
    if (last.created != 0 && find(last.created)->steps.size() != 1) {
        say(id, "That answer began pair " + std::to_string(last.created) +
                    ", which went on since; take that back first.");
        return false;
    }
    if (last.caused_by != 0 && find(last.caused_by)->steps.back().created != id) {
        say(id, "An answer on pair " + std::to_string(last.caused_by) +
                    " began this pair, and that pair went on since; take that back first.");
        return false;
    }
    return true;
}

/// False, with a sentence, if nothing could be taken back.
bool Table::Machine::undo(Slot& slot) {
    if (!may_undo(slot)) return false;
    if (const std::int64_t cause = slot.steps.back().caused_by; cause != 0) return undo(*this->slot(cause));

    Step step = std::move(slot.steps.back());
    slot.steps.pop_back();
    const std::int64_t id = slot.pair().id;
    const bool newest = hand_ == id || (step.created != 0 && hand_ == step.created);
    if (step.created != 0) {
        Slot& created = *this->slot(step.created);
        created.steps.clear();
        vanish(created);
    }
    if (newest) {
        hand_ = step.hand_before;
        if (Slot* again = this->slot(step.put_away)) {
            again->now.away = false;
            if (!step.asked.empty()) remove_question(again->pair(), step.asked);
            done(*again);
        }
    }
    void_label(slot);
    if (step.kind == Step::Kind::opened) {
        vanish(slot);
    } else {
        restore(slot, step);
    }
    while (hand_ != 0 && hand()->pair().state == PairState::gone)
        --hand_;
    return true;
}

/// The long press: the pair at the bench, back to nothing.
void Table::Machine::undo_whole_pair() {
    Slot* last = hand();
    if (!last || last->now.away) return say(hand_, "There is no pair at the bench to take back.");
    const std::int64_t id = hand_;
    while (last->pair().state != PairState::gone && undo(*last)) {
    }
    if (last->pair().state == PairState::gone)
        say(id, "Pair " + std::to_string(id) + " was taken back whole.");
}

void Table::Machine::vanish(Slot& slot) {
    void_label(slot);
    const record::Pair& was = slot.pair();
    Content gone;
    gone.pair.id = was.id;
    gone.pair.labels_made = was.labels_made;
    gone.pair.state = PairState::gone;
    slot.now = std::move(gone);
    done(slot);
}

void Table::Machine::restore(Slot& slot, Step& step) {
    const bool was_old = has_question(slot.pair(), ask::half_pair_old);
    const int labels_made = slot.pair().labels_made;
    if (step.kind == Step::Kind::lens_added) {
        record::Pair& pair = slot.pair();
        pair.lens(step.eye).reset();
        pair.centres_mm.reset();
        pair.late = step.late_before;
        pair.questions.clear();
        slot.now.centres_event = 0;
        slot.now.boot = step.boot_before;
        slot.now.settled.reset();
        slot.now.away = false;
    } else {
        slot.now = std::move(*step.before);
    }
    slot.pair().labels_made = labels_made;
    // A label that was voided does not come back: the pair is to be decided anew, and gets a new number.
    if (slot.now.settled == record::Decision::keep) slot.now.settled.reset();
    if (hand_ != slot.pair().id) slot.now.away = true;
    if (was_old && !slot.pair().has_both() && !has_question(slot.pair(), ask::half_pair_old)) {
        slot.pair().questions.push_back(question(ask::half_pair_old));
        slot.now.away = true;
    }
    done(slot);
}

}  // namespace pairmark::pairing
