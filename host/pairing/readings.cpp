// Where a reading goes.
//
//   in hand                          one lens                                    both lenses in one capture
//   nothing open                     begins a pair                               begins a pair
//   only marks                       joins                                       joins
//   one lens, no restart since       joins: other eye, or same eye and agrees;   that pair is left behind,
//   asking;
//                                    same eye, differs: same-lens-twice          begins a pair
//   one lens, restart since          after-restart                               the same
//   same-lens-twice is open          missing eye, or agrees with the held one:   the same
//                                    joins; else begins a pair
//   after-restart is open            waits behind the held one; a third begins   the same
//   either is open, restart since    begins a pair                               the same
#include <utility>

#include "host/pairing/machine.hpp"

namespace pairmark::pairing {

using record::Eye;

namespace {

std::string lens_named(Eye eye) {
    return std::string(record::word(eye)) + " lens";
}

}  // namespace

void Table::Machine::take_reading(const record::ReadingTaken& taken, std::int64_t sequence) {
    const record::Reading& reading = taken.reading;
    if (reading.lenses.empty() || reading.lenses.size() > 2) {
        say(0, "A reading with " + std::to_string(reading.lenses.size()) +
                   " lenses is not one of spectacles; it is kept and belongs to no pair.");
        return;
    }
    if (taken.first_after_reset) ++boots_;
    const auto arrival = [&](const record::LensReading& lens) {
        return Arrival{{lens, sequence, reading.step, reading.source == record::Source::typed,
                        reading.one_table, check_},
                       reading.centres_mm,
                       boots_,
                       taken.late,
                       Eye::right};
    };
    if (reading.lenses.size() == 1) {
        take_lens(arrival(reading.lenses[0]));
    } else {
        take_capture(arrival(reading.lenses[0]), arrival(reading.lenses[1]),
                     reading.source == record::Source::instrument);
    }
}

void Table::Machine::take_lens(Arrival arrival) {
    Slot* open = open_in_hand();
    if (open && !open->now.held.empty()) {
        // In doubt already: a reading from beyond a restart, or one that fits neither lens, is not added to
        // the doubt.
        const bool restarted = open->now.held.back().boot != boots_;
        if (!restarted && would_join(*open, arrival)) {
            remember(*open);
            join(*open, std::move(arrival));
            done(*open);
            return;
        }
        open = nullptr;
    }
    if (!open) {
        Slot& begun = begin();
        join(begun, std::move(arrival));
        done(begun);
        return;
    }
    if (has_reading(open->now) && open->now.boot != boots_) {
        hold_after_restart(*open, std::move(arrival));
        return;
    }
    const Eye eye = arrival.lens.reading.eye.value_or(awaited_in(open->pair()));
    if (open->pair().questions.empty() && !open->pair().lens(eye) && !open->pair().centres_mm) {
        Step step;
        step.kind = Step::Kind::lens_added;
        step.hand_before = hand_;
        step.eye = eye;
        step.boot_before = open->now.boot;
        step.late_before = open->pair().late;
        open->steps.push_back(std::move(step));
    } else {
        remember(*open);
    }
    join(*open, std::move(arrival));
    done(*open);
}

void Table::Machine::take_capture(Arrival first, Arrival second, bool by_instrument) {
    const auto named_first = first.lens.reading.eye;
    const auto named_second = second.lens.reading.eye;
    const Eye eye_of_first = named_first    ? *named_first
                             : named_second ? record::other(*named_second)
                                            : Eye::right;
    const Eye eye_of_second = named_second.value_or(record::other(eye_of_first));

    Slot* open = open_in_hand();
    if (open && !has_reading(open->now)) {
        remember(*open);
    } else {
        open = &begin();
    }
    const bool doubtful = by_instrument && (is_as_before(*open, first, eye_of_first) ||
                                            is_as_before(*open, second, eye_of_second));
    place(*open, std::move(first), eye_of_first);
    place(*open, std::move(second), eye_of_second);
    if (doubtful) {
        open->pair().questions.push_back(question(ask::not_cleared));
        say(open->pair().id, "A lens reads exactly as that of the pair before: was the instrument cleared?");
    }
    done(*open);
}

bool Table::Machine::is_as_before(const Slot& slot, const Arrival& arrival, Eye eye) const {
    // "The pair before" is the nearest that was measured. What was refused by sight or undone never reached
    // the instrument. Bounded: a box of broken pairs must not make each capture slower.
    constexpr std::int64_t furthest = 64;
    const std::int64_t id = slot.pair().id;
    for (std::int64_t back = id - 1; back >= 1 && back >= id - furthest; --back) {
        const record::Pair& before = find(back)->pair();
        if (!before.right && !before.left) continue;
        const auto& lens = before.lens(eye);
        if (!lens) return false;
        const record::LensReading& reading = arrival.lens.reading;
        return lens->reading.power == reading.power && lens->reading.addition == reading.addition &&
               lens->reading.prism == reading.prism;
    }
    return false;
}

void Table::Machine::hold_after_restart(Slot& slot, Arrival arrival) {
    remember(slot);
    slot.now.held.push_back(std::move(arrival));
    slot.pair().questions.push_back(question(ask::after_restart));
    say(slot.pair().id, slot.pair().questions.back().say);
    done(slot);
}

bool Table::Machine::would_join(const Slot& slot, const Arrival& arrival) const {
    const std::vector<Arrival>& held = slot.now.held;
    const auto& named = arrival.lens.reading.eye;
    if (has_question(slot.pair(), ask::after_restart)) {
        return held.size() == 1;
    }
    const Eye eye = named.value_or(awaited_in(slot.pair()));
    return !slot.pair().lens(eye) ||
           (eye == held.front().eye && agree(held.front().lens.reading, arrival.lens.reading));
}

/// Into an open pair, by the plain rules or behind the doubt that is open. Precondition with a doubt:
/// would_join.
void Table::Machine::join(Slot& slot, Arrival arrival) {
    std::vector<Arrival>& held = slot.now.held;
    const auto& named = arrival.lens.reading.eye;
    if (has_question(slot.pair(), ask::after_restart)) {
        Arrival& first = held.front();
        if (named && named == first.lens.reading.eye && agree(first.lens.reading, arrival.lens.reading)) {
            slot.now.superseded.push_back(first.lens.event);
            first = std::move(arrival);
        } else {
            held.push_back(std::move(arrival));
        }
        return;
    }
    const Eye awaited_eye = awaited_in(slot.pair());
    const Eye eye = named.value_or(awaited_eye);
    if (!held.empty() && slot.pair().lens(eye)) {
        slot.now.superseded.push_back(held.front().lens.event);
        arrival.eye = eye;
        held.front() = std::move(arrival);
        return;
    }
    if (eye != awaited_eye && !slot.pair().lens(eye))
        say(slot.pair().id, "The left lens was measured before the right one; it is taken as the left.");
    place(slot, std::move(arrival), eye);
}

void Table::Machine::place(Slot& slot, Arrival arrival, Eye eye) {
    record::Pair& pair = slot.pair();
    auto& lens = pair.lens(eye);
    if (!lens) {
        put(slot, arrival, eye);
    } else if (agree(lens->reading, arrival.lens.reading)) {
        slot.now.superseded.push_back(lens->event);
        put(slot, arrival, eye);
        say(pair.id, "The " + lens_named(eye) + " was measured again and agrees; the newer reading counts.");
    } else {
        arrival.eye = eye;
        slot.now.held.push_back(std::move(arrival));
        const bool more_plus = is_more_plus(lens->reading, slot.now.held.back().lens.reading);
        pair.questions.push_back(more_plus ? question_of_a_near_part(eye)
                                           : question(ask::same_lens_twice, eye));
        say(pair.id, pair.questions.back().say);
    }
}

void Table::Machine::put(Slot& slot, const Arrival& arrival, Eye eye) {
    record::Pair& pair = slot.pair();
    pair.lens(eye) = arrival.lens;
    pair.late = pair.late || arrival.late;
    if (arrival.centres_mm) {
        pair.centres_mm = arrival.centres_mm;
        slot.now.centres_event = arrival.lens.event;
    }
    slot.now.boot = arrival.boot;
}

}  // namespace pairmark::pairing
