// What a person's answer to a question does. A reading that turns out to belong to another pair takes with it
// every reading that came after it.
#include <algorithm>
#include <utility>

#include "host/pairing/machine.hpp"
#include "host/record/words.hpp"

namespace pairmark::pairing {

using record::Eye;
using record::PairState;

void Table::Machine::answer_question(Slot& slot, std::string_view choice) {
    record::Pair& pair = slot.pair();
    const auto asked =
        std::find_if(pair.questions.begin(), pair.questions.end(), [choice](const record::Question& put) {
            return std::find(put.choices.begin(), put.choices.end(), choice) != put.choices.end();
        });
    if (asked == pair.questions.end()) {
        return say(pair.id, "No open question of pair " + std::to_string(pair.id) + " has the answer " +
                                record::in_quotes(choice) + "; nothing was changed.");
    }
    const std::string id = asked->id;
    if (id == ask::same_lens_twice) return answer_same_lens_twice(slot, choice);
    if (id == ask::after_restart) return answer_after_restart(slot, choice);
    if (id == ask::not_cleared) return answer_not_cleared(slot, choice);
    if (id == ask::not_looked_over) return look_over(slot);
    take_up_again(slot);
}

void Table::Machine::answer_same_lens_twice(Slot& slot, std::string_view choice) {
    remember(slot);
    record::Pair& pair = slot.pair();
    const Arrival doubted = std::move(slot.now.held.front());
    slot.now.held.clear();
    remove_question(pair, ask::same_lens_twice);

    if (choice == answer::same_lens) {
        slot.now.superseded.push_back(pair.lens(doubted.eye)->event);
        put(slot, doubted, doubted.eye);
    } else if (choice == answer::other_lens) {
        place_in_order(slot, doubted, record::other(doubted.eye));
    } else if (choice == answer::two_places) {
        // The second place says that the lens has an addition, not what it is: nothing is worked out from it.
        slot.now.superseded.push_back(doubted.lens.event);
        pair.power_varies = true;
        if (is_more_plus(doubted.lens.reading, pair.lens(doubted.eye)->reading)) {
            // Such a lens gains plus downwards, so it was the first reading that missed the distance part.
            slot.now.superseded.push_back(pair.lens(doubted.eye)->event);
            pair.lens(doubted.eye).reset();
            say(pair.id,
                "The first place had more plus than the second, so it was not the distance part: measure "
                "the " +
                    std::string(record::word(doubted.eye)) + " lens again, well above its middle.");
        }
        const auto type = pair.marks.find("lens_type");
        if (type == pair.marks.end() || type->second == "single")
            pair.questions.push_back(question(ask::two_places, doubted.eye));
    } else {
        std::vector<Arrival> leaving{doubted};
        const bool centres_leave = slot.now.centres_event > doubted.lens.event;
        for (const Eye eye : {Eye::right, Eye::left}) {
            auto& lens = pair.lens(eye);
            if (!lens || lens->event <= doubted.lens.event) continue;
            leaving.push_back(
                {*lens, centres_leave ? pair.centres_mm : std::nullopt, doubted.boot, pair.late, eye});
            lens.reset();
        }
        if (centres_leave) {
            pair.centres_mm.reset();
            slot.now.centres_event = 0;
        }
        begin_from(slot, std::move(leaving));
    }
    done(slot);
}

/// Two readings of one eye, of which the arriving one need not be the newer: the rules of place().
void Table::Machine::place_in_order(Slot& slot, const Arrival& arrival, Eye eye) {
    auto& lens = slot.pair().lens(eye);
    if (!lens || lens->event < arrival.lens.event) return place(slot, arrival, eye);
    Arrival newer{*lens, std::nullopt, slot.now.boot, slot.pair().late, eye};
    lens.reset();
    put(slot, arrival, eye);
    place(slot, std::move(newer), eye);
}

void Table::Machine::answer_after_restart(Slot& slot, std::string_view choice) {
    remember(slot);
    std::vector<Arrival> held = std::move(slot.now.held);
    slot.now.held.clear();
    remove_question(slot.pair(), ask::after_restart);
    if (choice == answer::same_pair) {
        slot.now.boot = held.front().boot;  // said once, this restart is no longer in doubt
        join(slot, std::move(held.front()));
        held.erase(held.begin());
        const bool more = !held.empty() && !slot.pair().has_both() &&
                          (slot.now.held.empty() || would_join(slot, held.front()));
        if (more) {
            join(slot, std::move(held.front()));
            held.clear();
        }
    }
    if (!held.empty()) begin_from(slot, std::move(held));
    done(slot);
}

void Table::Machine::answer_not_cleared(Slot& slot, std::string_view choice) {
    remember(slot);
    record::Pair& pair = slot.pair();
    remove_question(pair, ask::not_cleared);
    if (choice == answer::measure_again) {
        // Which of the two is stale cannot be known for certain: the capture goes whole.
        for (const Eye eye : {Eye::right, Eye::left}) {
            auto& lens = pair.lens(eye);
            if (!lens) continue;
            if (slot.now.superseded.empty() || slot.now.superseded.back() != lens->event)
                slot.now.superseded.push_back(lens->event);
            lens.reset();
        }
        pair.centres_mm.reset();
        slot.now.centres_event = 0;
        pair.late = false;
    }
    done(slot);
}

/// Begins a pair with readings that an answer took from `slot` (whose last step is that answer). In hand if
/// `slot` was.
void Table::Machine::begin_from(Slot& slot, std::vector<Arrival> arrivals) {
    Slot& begun = add_slot();
    Step step;
    step.hand_before = hand_;
    step.caused_by = slot.pair().id;
    begun.steps.push_back(std::move(step));
    slot.steps.back().created = begun.pair().id;
    if (hand_ == slot.pair().id && !slot.now.away) {
        slot.now.away = true;
        hand_ = begun.pair().id;
    } else {
        begun.now.away = true;
    }
    for (Arrival& arrival : arrivals)
        join(begun, std::move(arrival));
    done(begun);
}

/// Half a pair that lay in its tray comes back into the hands, to be measured further.
void Table::Machine::take_up_again(Slot& slot) {
    record::Pair& pair = slot.pair();
    if (const Slot* open = open_in_hand(); open && open != &slot) {
        return say(pair.id,
                   "Pair " + std::to_string(hand_) + " is at the bench and not finished; finish it first.");
    }
    if (has_question(pair, ask::set_aside)) return say(pair.id, "This pair is set aside; undo that first.");
    Step& step = remember(slot);
    remove_question(pair, ask::half_pair_old);
    remove_question(pair, ask::half_pair_left_behind);
    if (hand_ != pair.id) put_away_hand(step);
    hand_ = pair.id;
    slot.now.away = false;
    done(slot);
}

}  // namespace pairmark::pairing
