// What could not be done at once: labels that could not be made, and labels that did not come out. Each is
// said once, and tried again by the timers and at every start.
#include <utility>

#include "host/bench/sorting.hpp"

namespace pairmark::bench {

using record::Pair;
using record::PairState;

namespace {

/// A person needs seconds to make room on a disk or to plug a printer in.
constexpr Milliseconds again_after{10'000};
constexpr const char* again_words = "; it is tried again every 10 s";

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

printing::Outbox::Seams Sorting::outbox_seams() {
    return {seams_.store,
            seams_.printer,
            [this](const record::LabelFacts& facts) { return seams_.draw(facts, pipeline_.paper()); },
            [this] { return utc_text(seams_.timers.wall()); },
            [this](const record::Event& event) {
                remember(event);
                (void)pipeline_.apply(event);
            },
            [this](const std::string& say) { seams_.announcer.tell("trouble", say); },
            [this](const std::string& say) { trouble(say); },
            [this](std::int64_t pair, const std::string& number) {
                return pipeline_.table().number(pair) == number;
            },
            [this] { return held_by_clock(); },
            [this](std::int64_t id, const std::string& number, bool was_missed) {
                // It came out after all: the bench hears of its label only now.
                const Pair* pair = pipeline_.table().find(id);
                if ((shown_without_.erase(number) > 0 || was_missed) && pair != nullptr &&
                    pipeline_.table().number(id) == number)
                    show(*pair);
            },
            [this] { tend_printer_lamp(); },
            [this] { try_again_later(); }};
}

std::optional<std::string> Sorting::held_by_clock() const {
    if (!clock_.is_back(seams_.timers.wall())) return std::nullopt;
    return std::string(printing::Outbox::held_by_ourselves) + " is behind the newest record (" +
           utc_text(clock_.newest()) +
           "); set the clock and the label comes by itself, or, if the clock is right, say so: "
           "pairmark mark --release";
}

/// A person lets a label go out that was held. False if none of that pair is: then the act is about a late
/// reading.
bool Sorting::release_label(const record::Acted& act) {
    const Pair* pair = act.pair ? pipeline_.table().find(*act.pair) : pipeline_.table().latest();
    if (pair != nullptr && pair->late) return false;
    if (clock_.is_back(seams_.timers.wall()) && outbox_.waits_for_hold()) {
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
    if (number.empty() || !outbox_.release(number)) return false;
    answers_ = outbox_.is_out(number) ? "label " + number + " is printed" : outbox_.said_of(number);
    return true;
}

void Sorting::put_rows_due() {
    const std::set<std::int64_t> due = rows_due_;
    for (const std::int64_t id : due)
        if (const Pair* pair = pipeline_.table().find(id)) put_row(*pair);
}

void Sorting::try_again_later() {
    if (again_) return;
    again_ = seams_.timers.after(again_after, [this] {
        again_.reset();
        try_again();
    });
}

void Sorting::try_again() {
    if (!begin_work()) return;
    put_rows_due();
    const std::map<std::int64_t, std::string> unlabelled = no_label_yet_;
    for (const auto& [id, why] : unlabelled) {
        const Pair* pair = pipeline_.table().find(id);
        if (pair != nullptr && pair->state == PairState::decided)
            label(id);
        else
            no_label_yet_.erase(id);
    }
    outbox_.again();
    settle();
    tend_printer_lamp();
}

void Sorting::tend_printer_lamp() {
    lamps_.needs_person(!last_trouble_.empty() || outbox_.needs_person() || !no_label_yet_.empty());
}

}  // namespace pairmark::bench
