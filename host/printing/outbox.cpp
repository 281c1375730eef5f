#include "host/printing/outbox.hpp"

#include <algorithm>
#include <utility>

namespace pairmark::printing {
namespace {

constexpr const char* again_words = "; it is tried again every 10 s";

}  // namespace

bool Outbox::Entry::is_unwritten() const {
    return now.outcome != stored.outcome || now.say != stored.say;
}

Outbox::Outbox(Seams seams) : seams_(std::move(seams)) {}

void Outbox::saw(const record::Event& event) {
    const auto* act = std::get_if<record::Acted>(&event.body);
    if (act == nullptr) return;
    if (act->act == "print-hold") paused_ = true;
    if (act->act == "print-resume") paused_ = false;
}

void Outbox::start() {
    for (const Outcome outcome :
         {Outcome::waiting, Outcome::sending, Outcome::failed, Outcome::held, Outcome::in_doubt}) {
        for (const store::StoredIntent& intent : seams_.store.intents(outcome)) {
            Entry entry;
            entry.pair = intent.pair;
            entry.number = intent.label;
            entry.copy = intent.copy;
            entry.stored = entry.now = {outcome, intent.say};
            entry.may_be_there = outcome == Outcome::waiting || outcome == Outcome::failed;
            // What we held ourselves is tried again; what the printer held waits for a person.
            entry.by_hold = outcome == Outcome::held && intent.say.starts_with(held_by_ourselves);
            if (outcome == Outcome::sending)
                entry.now = {Outcome::in_doubt,
                             "in doubt: the program ended while it was sent; look whether it is there, then "
                             "say so: pairmark labels resolve"};
            open_.emplace(intent.id, std::move(entry));
        }
    }
    if (paused_) seams_.tell("labels are held, as somebody asked; pairmark labels resume prints them");
    for (auto& [id, entry] : open_)
        if (entry.now.outcome == Outcome::in_doubt || (entry.now.outcome == Outcome::held && !entry.by_hold))
            say_not_out(entry);
    seams_.changed();
}

void Outbox::add(const record::PrintIntent& intent) {
    Entry entry;
    entry.pair = intent.pair;
    entry.number = intent.facts.number;
    entry.copy = intent.facts.copy;
    open_.emplace(intent.id, std::move(entry));
    pump();
}

void Outbox::again() {
    write_voids();
    std::vector<std::int64_t> unwritten;
    for (auto& [id, entry] : open_) {
        const bool due = entry.now.outcome == Outcome::failed || entry.by_hold;
        const bool is_answer = !due && entry.now.outcome != Outcome::waiting && id != in_flight_;
        if (is_answer && entry.is_unwritten()) unwritten.push_back(id);
        if (!due) continue;
        if (entry.by_hold) entry.now.say.clear();
        entry.now.outcome = Outcome::waiting;
        entry.by_hold = false;
    }
    for (const std::int64_t id : unwritten)
        (void)write(id);
    pump();
    // What is held no longer, and waits for its turn at a slow printer, is not to be called held.
    std::vector<std::int64_t> let_go;
    for (const auto& [id, entry] : open_)
        if (entry.now.outcome == Outcome::waiting && entry.stored.outcome == Outcome::held &&
            id != in_flight_)
            let_go.push_back(id);
    for (const std::int64_t id : let_go)
        (void)write(id);
    seams_.changed();
}

/// Hands over what waits, one at a time. A printer that answers at once comes back here from inside, so the
/// loop stands outside.
void Outbox::pump() {
    if (pumping_) return;
    pumping_ = true;
    while (!paused_ && !in_flight_) {
        const auto due = std::find_if(open_.begin(), open_.end(), [](const auto& one) {
            return one.second.now.outcome == Outcome::waiting;
        });
        if (due == open_.end() || !hand_over(due->first, due->second)) break;
    }
    pumping_ = false;
}

/// False: the store does not answer, so nothing can go out for now.
bool Outbox::hand_over(std::int64_t id, Entry& entry) {
    std::optional<record::PrintIntent> intent;
    if (const auto failure = seams_.store.attempt([&] { intent = seams_.store.intent(id); })) {
        seams_.trouble(failure->what());
        seams_.again_later();
        return false;
    }
    if (!intent || !seams_.in_force(entry.pair, entry.number)) {
        open_.erase(id);
        return true;
    }
    if (const auto why = seams_.held_because()) {
        entry.by_hold = true;
        settle(id, {Outcome::held, *why});
        return true;
    }
    in_flight_ = id;
    const std::weak_ptr<int> alive = alive_;
    seams_.printer.print(
        {entry.number, entry.copy, std::move(intent->document)},
        [this, id, alive] { return !alive.expired() && begins(id); },
        [this, id, alive](Result result) {
            if (!alive.expired()) done(id, std::move(result));
        });
    return true;
}

bool Outbox::begins(std::int64_t id) {
    const auto entry = open_.find(id);
    // Taken back, or held, before a byte left.
    if (entry == open_.end() || paused_) return false;
    if (const auto failure =
            seams_.store.attempt([&] { (void)seams_.store.set_outcome(id, Outcome::sending, ""); })) {
        seams_.trouble(failure->what());
        return false;
    }
    entry->second.now = entry->second.stored = {Outcome::sending, ""};
    return true;
}

void Outbox::done(std::int64_t id, Result result) {
    in_flight_.reset();
    if (open_.contains(id)) settle(id, std::move(result));
    pump();
}

void Outbox::settle(std::int64_t id, Result result) {
    Entry& entry = open_.at(id);
    // Only the word that the label came out, or that something else lies in its place, ends that doubt.
    if (result.outcome != Outcome::failed) entry.may_be_there = false;
    entry.now = std::move(result);
    if (entry.now.outcome != Outcome::printed) say_not_out(entry);
    (void)write(id);
    seams_.changed();
}

void Outbox::say_not_out(Entry& entry) {
    const bool again = entry.now.outcome == Outcome::failed;
    const std::string say = "label " + entry.number + ": " + entry.now.say + (again ? again_words : "");
    if (entry.said != say) seams_.tell(say);
    entry.said = say;
    if (again || entry.by_hold) seams_.again_later();
}

/// Writes how an entry stands, and lets go of it when it is settled. False: it could not be written; it is
/// tried again, and the printer is not asked again.
bool Outbox::write(std::int64_t id) {
    const auto found = open_.find(id);
    if (found == open_.end()) return true;
    Entry& entry = found->second;
    // Tried again and no better: that stands in the session already.
    if (entry.is_unwritten()) {
        record::Event event{0, seams_.moment(),
                            record::Printed{entry.number, entry.copy,
                                            std::string(record::word(entry.now.outcome)), entry.now.say}};
        const auto failure = seams_.store.attempt([&] {
            (void)seams_.store.set_outcome(id, entry.now.outcome, entry.now.say);
            seams_.store.append(event);
        });
        if (failure) {
            seams_.trouble(failure->what());
            seams_.again_later();
            return false;
        }
        entry.stored = entry.now;
        seams_.kept(event);
    }
    if (entry.now.outcome != Outcome::printed) return true;
    const Entry settled = std::move(entry);
    open_.erase(found);
    seams_.came_out(settled.pair, settled.number, !settled.said.empty());
    return true;
}

bool Outbox::is_out(const std::string& number) const {
    const auto entry = first_of(number);
    return entry == open_.end() || entry->second.copy > 0 || entry->second.now.outcome == Outcome::printed;
}

std::string Outbox::said_of(const std::string& number) const {
    const auto entry = first_of(number);
    return entry == open_.end() ? std::string() : entry->second.said;
}

bool Outbox::needs_person() const {
    return paused_ || !voids_.empty() || std::any_of(open_.begin(), open_.end(), [](const auto& one) {
               const Outcome now = one.second.now.outcome;
               return now == Outcome::failed || now == Outcome::held || now == Outcome::in_doubt ||
                      (now != Outcome::sending && one.second.is_unwritten() && !one.second.said.empty());
           });
}

bool Outbox::waits_for_hold() const {
    return std::any_of(open_.begin(), open_.end(), [](const auto& one) { return one.second.by_hold; });
}

/// The entries of one number lie in the order of their copies, the unmarked one first.
Outbox::Entries::iterator Outbox::first_of(const std::string& number) {
    return std::find_if(open_.begin(), open_.end(),
                        [&](const auto& one) { return one.second.number == number; });
}

Outbox::Entries::const_iterator Outbox::first_of(const std::string& number) const {
    return std::find_if(open_.begin(), open_.end(),
                        [&](const auto& one) { return one.second.number == number; });
}

}  // namespace pairmark::printing
