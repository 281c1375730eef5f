// What people decide about labels: that one is there, that it is to be printed again, that all wait.
#include <algorithm>
#include <utility>
#include <vector>

#include "host/printing/outbox.hpp"

namespace pairmark::printing {
namespace {

std::string copy_of(const std::string& number, int copy) {
    return copy == 0 ? "label " + number : "copy " + std::to_string(copy) + " of label " + number;
}

std::string unknown(const std::string& number) {
    return "there is no label " + number + "; pairmark labels list --all names them all";
}

std::string void_words(const std::string& number) {
    return "label " + number + " is void: its pair has another label now, or none; nothing was done";
}

}  // namespace

std::string Outbox::take_back(const std::string& number) {
    bool out = true;
    bool maybe = false;
    for (const auto& [id, entry] : open_) {
        if (entry.number != number || entry.copy > 0) continue;
        const Outcome now = entry.now.outcome;
        out = now == Outcome::printed;
        maybe = now == Outcome::sending || now == Outcome::in_doubt || entry.may_be_there || in_flight_ == id;
    }
    std::erase_if(open_, [&](const auto& one) { return one.second.number == number; });
    std::string say = "label " + number + " is void; it was not printed";
    if (out) say = "tear up label " + number;
    if (maybe) say = "tear up label " + number + " if it is there";
    voids_.insert_or_assign(number, say);
    write_voids();
    seams_.changed();
    return say;
}

void Outbox::write_voids() {
    while (!voids_.empty()) {
        const auto& [number, say] = *voids_.begin();
        const auto failure = seams_.store.attempt([&, &number = number, &say = say] {
            (void)seams_.store.void_label(number);
            for (const store::StoredIntent& intent : seams_.store.intents_of(number))
                (void)seams_.store.set_outcome(intent.id, Outcome::void_, say);
        });
        if (failure) {
            seams_.trouble(failure->what());
            seams_.again_later();
            return;
        }
        voids_.erase(voids_.begin());
    }
}

std::string Outbox::act(const record::Acted& act) {
    if (act.act == "print-hold" || act.act == "print-resume") return pause(act);
    std::optional<store::StoredLabel> label;
    if (const auto failure = seams_.store.attempt([&] { label = seams_.store.label(act.text); }))
        return std::string("not done: ") + failure->what();
    if (!label) return unknown(act.text);
    if (label->is_void || !seams_.in_force(label->pair, act.text)) return void_words(act.text);
    if (act.act == "print-again") return print_again(act);
    if (act.act == "print-confirm") return confirm(act);
    if (act.act == "print-release") return release_by(act);
    return "there is no act \"" + act.act + "\" on labels; nothing was done";
}

/// Keeps the act and what it changes, in one commit. What failed, if it did.
std::optional<std::string> Outbox::keep(const record::Acted& act, const std::function<void()>& with) {
    record::Event event{0, seams_.moment(), act};
    const auto failure = seams_.store.attempt([&] {
        seams_.store.append(event);
        with();
    });
    if (failure) {
        seams_.trouble(failure->what());
        return std::string("not done: ") + failure->what();
    }
    seams_.kept(event);
    return std::nullopt;
}

/// A second print is an intent of its own, which says COPY and counts.
std::string Outbox::print_again(const record::Acted& act) {
    const std::string& number = act.text;
    std::optional<std::int64_t> doubtful;
    for (const auto& [id, entry] : open_) {
        if (entry.number != number) continue;
        if (entry.now.outcome != Outcome::in_doubt)
            return copy_of(number, entry.copy) + " has not come out yet; it needs no copy" +
                   (entry.said.empty() ? "" : ": " + entry.said);
        doubtful = id;
    }
    record::PrintIntent copy;
    try {
        const auto failure = seams_.store.attempt([&] {
            const std::vector<store::StoredIntent> before = seams_.store.intents_of(number);
            if (before.empty()) return;
            const auto first = seams_.store.intent(before.front().id);
            copy.pair = first->pair;
            copy.rules_hash = first->rules_hash;
            copy.facts = first->facts;
            copy.facts.copy = before.back().copy + 1;
        });
        if (failure) return std::string("not done: ") + failure->what();
        if (copy.facts.copy == 0) return unknown(number);
        copy.document = seams_.draw(copy.facts);
    } catch (const std::runtime_error& why) {
        return "not done: the copy could not be drawn: " + std::string(why.what());
    }
    const Result replaced{Outcome::void_, "copy " + std::to_string(copy.facts.copy) + " took its place"};
    const auto fault = keep(act, [&] {
        if (doubtful) (void)seams_.store.set_outcome(*doubtful, replaced.outcome, replaced.say);
        copy.id = seams_.store.put_intent(copy);
    });
    if (fault) return *fault;
    if (doubtful) open_.erase(*doubtful);
    add(copy);
    seams_.changed();
    return answer_of(copy.id, copy_of(number, copy.facts.copy));
}

/// "It is on the envelope."
std::string Outbox::confirm(const record::Acted& act) {
    const std::string& number = act.text;
    std::optional<store::StoredIntent> newest;
    const auto find = [&] {
        for (store::StoredIntent& intent : seams_.store.intents_of(number))
            if (intent.outcome != Outcome::void_) newest = std::move(intent);
    };
    if (const auto failure = seams_.store.attempt(find)) return std::string("not done: ") + failure->what();
    if (!newest) return unknown(number);
    if (in_flight_ == newest->id)
        return copy_of(number, newest->copy) + " is being printed now; look again when it is done";
    if (newest->outcome == Outcome::confirmed)
        return copy_of(number, newest->copy) + " was confirmed already";
    const std::string say = "a person says that it is on the envelope";
    record::Event event{
        0, seams_.moment(),
        record::Printed{number, newest->copy, std::string(record::word(Outcome::confirmed)), say}};
    const auto fault = keep(act, [&] {
        (void)seams_.store.set_outcome(newest->id, Outcome::confirmed, say);
        seams_.store.append(event);
    });
    if (fault) return *fault;
    seams_.kept(event);
    open_.erase(newest->id);
    seams_.came_out(newest->pair, number, true);
    seams_.changed();
    return copy_of(number, newest->copy) + " counts as printed";
}

std::string Outbox::release_by(const record::Acted& act) {
    const auto entry = first_of(act.text);
    if (entry == open_.end() || entry->second.now.outcome != Outcome::held)
        return "label " + act.text + " is not held; nothing was done";
    if (entry->second.by_hold) return entry->second.said;
    const std::int64_t id = entry->first;
    const int copy = entry->second.copy;
    if (const auto fault = keep(act, [] {})) return *fault;
    (void)release(act.text);
    return answer_of(id, copy_of(act.text, copy));
}

bool Outbox::release(const std::string& number) {
    const auto entry = first_of(number);
    if (entry == open_.end() || entry->second.now.outcome != Outcome::held) return false;
    entry->second.now.outcome = Outcome::waiting;
    entry->second.by_hold = false;
    pump();
    seams_.changed();
    return true;
}

std::string Outbox::pause(const record::Acted& act) {
    const bool hold = act.act == "print-hold";
    if (hold == paused_) return hold ? "labels are held already" : "labels are not held; nothing was done";
    if (const auto fault = keep(act, [] {})) return *fault;
    paused_ = hold;
    if (!hold) again();
    seams_.changed();
    if (hold) return "labels are held until you say: pairmark labels resume";
    const auto waiting = std::count_if(open_.begin(), open_.end(), [](const auto& one) {
        return one.second.now.outcome != Outcome::printed;
    });
    return "labels are printed again" +
           (waiting == 0 ? std::string() : "; " + std::to_string(waiting) + " are still to come");
}

/// How a label stands right after it was handed over: "label A1-A-00012-M is printed", or why not.
std::string Outbox::answer_of(std::int64_t id, const std::string& what) const {
    const auto entry = open_.find(id);
    if (entry == open_.end()) return what + " is printed";
    if (!entry->second.said.empty() && entry->second.now.outcome != Outcome::waiting)
        return entry->second.said;
    return what + (paused_ ? " waits: labels are held (pairmark labels resume)" : " is on its way");
}

}  // namespace pairmark::printing
