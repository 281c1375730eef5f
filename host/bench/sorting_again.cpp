// What could not be done at once: labels that could not be made, and labels that did not come out. Each is
// said once, and tried again by the timers and at every start.
#include <utility>

#include "host/bench/sorting.hpp"

namespace pairmark::bench {

using record::Pair;
using record::PairState;
using record::PrintOutcome;

namespace {

/// A person needs seconds to make room on a disk or to plug a printer in.
constexpr Milliseconds again_after{10'000};
constexpr const char* again_words = "; it is tried again every 10 s";

/// How the outcome of a label begins that waits for the clock.
constexpr const char* held_by_clock = "held: this computer's clock";

}  // namespace

void Sorting::no_label_yet(std::int64_t pair, const std::string& why) {
    std::string& said = no_label_yet_[pair];
    if (said != why)
        seams_.announcer.tell("trouble", "pair " + std::to_string(pair) +
                                             " is kept but has no label yet: " + why + again_words);
    said = why;
    tend_printer_lamp();
    try_again_later();
}

/// No time mends this one: a person gives what is missing, or changes the settings.
void Sorting::refuse_label(std::int64_t pair, const std::string& why) {
    no_label_yet_.erase(pair);
    const std::string say = "pair " + std::to_string(pair) + ": " + why;
    if (!noted_.contains(say)) (void)keep(record::Noted{label_refused, say});
    seams_.announcer.tell("refused", say);
    lamps_.verdict(pair, "ask");
    tend_printer_lamp();
}

printing::Result Sorting::hand_out(const record::PrintIntent& intent) {
    if (clock_.is_back(seams_.timers.wall()))
        return {PrintOutcome::held,
                std::string(held_by_clock) + " is behind the newest record (" + utc_text(clock_.newest()) +
                    "); set the clock and the label comes by itself, or, if the clock is right, say so: "
                    "pairmark mark --release"};
    return seams_.printer.print({intent.facts.number, intent.facts.copy, intent.document});
}

void Sorting::not_out(const std::string& number, const printing::Result& result) {
    const bool again = result.outcome == PrintOutcome::failed;
    const std::string say = "label " + number + ": " + result.say + (again ? again_words : "");
    if (result.outcome == PrintOutcome::in_doubt) {
        in_doubt_.insert(number);
        seams_.announcer.tell("trouble", say);
    } else {
        std::string& said = not_out_[number];
        if (said != say) seams_.announcer.tell("trouble", say);
        said = say;
    }
    tend_printer_lamp();
    if (again || result.say.starts_with(held_by_clock)) try_again_later();
}

/// A person lets a label go out that was held. False if none of that pair is: then the act is about a late
/// reading.
bool Sorting::release_label(const record::Acted& act) {
    const Pair* pair = act.pair ? pipeline_.table().find(*act.pair) : pipeline_.table().latest();
    if (pair != nullptr && pair->late) return false;
    if (clock_.is_back(seams_.timers.wall()) && !not_out_.empty()) {
        if (!keep(
                record::Noted{ClockWatch::clock_right, "a person says that this computer's clock is right"}))
            answers_ = "not done: " + last_trouble_;
        else
            try_again();
        if (answers_.empty())
            answers_ = "the clock counts as right; the labels that waited for it are printed";
        return true;
    }
    if (pair == nullptr) return false;
    const std::string number = pipeline_.table().number(pair->id);
    const auto held = not_out_.find(number);
    if (held == not_out_.end()) return false;
    std::optional<record::PrintIntent> intent;
    if (const auto failure = seams_.store.attempt([&] { intent = seams_.store.intent(number, 0); }))
        answers_ = std::string("not done: ") + failure->what();
    else if (intent)
        print(intent->id);
    if (answers_.empty()) {
        const auto still = not_out_.find(number);
        answers_ = still == not_out_.end() ? "label " + number + " is printed" : still->second;
    }
    return true;
}

/// Failed and held ones before those that wait: one that waits and fails now is then tried once, not twice.
/// What a printer holds, or has in doubt, waits for a person.
void Sorting::print_what_waits() {
    std::vector<std::int64_t> due;
    std::vector<store::StoredIntent> held;
    const auto failure = seams_.store.attempt([&] {
        for (const auto& intent : seams_.store.intents(PrintOutcome::failed))
            due.push_back(intent.id);
        for (auto& intent : seams_.store.intents(PrintOutcome::held)) {
            if (intent.say.starts_with(held_by_clock)) due.push_back(intent.id);
            held.push_back(std::move(intent));
        }
        for (const auto& intent : seams_.store.intents(PrintOutcome::waiting))
            due.push_back(intent.id);
    });
    if (failure) {
        trouble(failure->what());
        return try_again_later();
    }
    for (const store::StoredIntent& intent : held)
        if (!intent.say.starts_with(held_by_clock)) not_out(intent.label, {PrintOutcome::held, intent.say});
    for (const std::int64_t intent : due)
        print(intent);
}

void Sorting::try_again_later() {
    if (again_) return;
    again_ = seams_.timers.after(again_after, [this] {
        again_.reset();
        try_again();
    });
}

void Sorting::try_again() {
    const std::map<std::int64_t, std::string> unlabelled = no_label_yet_;
    for (const auto& [id, why] : unlabelled) {
        const Pair* pair = pipeline_.table().find(id);
        if (pair != nullptr && pair->state == PairState::decided)
            label(id);
        else
            no_label_yet_.erase(id);
    }
    print_what_waits();
    settle();
    tend_printer_lamp();
}

void Sorting::tend_printer_lamp() {
    lamps_.needs_person(!last_trouble_.empty() || !not_out_.empty() || !in_doubt_.empty() ||
                        !no_label_yet_.empty());
}

}  // namespace pairmark::bench
