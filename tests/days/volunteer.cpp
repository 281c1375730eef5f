#include "tests/days/volunteer.hpp"

#include <algorithm>

#include "host/pairing/question.hpp"

namespace pairmark::days {
namespace {

constexpr unsigned turning_ms = 350;  // what turning the spectacles takes at least
constexpr unsigned patience_for_cue_ms = 1500;
constexpr unsigned patience_for_adapter_ms = 180'000;
constexpr unsigned most_tries = 60;

}  // namespace

std::string Volunteer::work(unsigned pairs) {
    for (unsigned i = 0; i < pairs && !failed(); ++i)
        one_pair();
    return fault_;
}

/// Powers that the rules keep, mostly; the axis and cylinder together make each one of its kind.
Lens Volunteer::next_lens(record::Eye eye) {
    const unsigned nth = lenses_++;
    Lens lens;
    lens.eye = eye;
    lens.axis = static_cast<int>(nth % 180 + 1);
    lens.sphere = -25 * static_cast<int>(chance_.between(1, 24));
    const unsigned kind = chance_.below(20);
    const int strong = kind == 0 ? 225 : kind == 1 ? 175 : 25;
    lens.cylinder = -(strong + 25 * static_cast<int>(nth / 180));
    return lens;
}

void Volunteer::one_pair() {
    using firmware::key_aside;
    using firmware::key_down;
    using firmware::key_go;
    using firmware::key_undo;
    if (chance_.one_in(60)) {
        // Somebody tries whether the other adapter does better.
        if (!get_ready()) return;
        if (!world_.other_box().has_power()) world_.exchange_adapters();
    }
    if (chance_.one_in(25) && !press(key_down, false)) return;  // refused by sight
    const Lens right = next_lens(record::Eye::right);
    if (!measure(right)) return;
    if (chance_.one_in(12) && !measure(right)) return;
    if (chance_.one_in(25) && !measure(next_lens(record::Eye::right))) return;  // another lens, the same eye
    if (chance_.one_in(15)) {
        if (!press(key_undo, chance_.one_in(3)) || !measure(next_lens(record::Eye::right))) return;
    }
    if (chance_.one_in(25)) {
        (void)press(key_aside, false);
        return;
    }
    if (chance_.one_in(30)) return;  // left behind with one lens
    if (chance_.one_in(40)) world_.wait(chance_.between(1000, 90'000));
    if (chance_.one_in(3)) look_at_screen();
    if (!measure(next_lens(record::Eye::left))) return;
    if (chance_.one_in(15) && !press(key_undo, chance_.one_in(3))) return;
    if (chance_.one_in(25) && !press(key_go, false)) return;
    if (chance_.one_in(2)) look_at_screen();
    if (chance_.one_in(8)) change_an_old_pair();
    if (chance_.one_in(12)) look_at_labels();
}

bool Volunteer::measure(const Lens& lens) {
    auto known =
        std::find_if(world_.ledger.lenses.begin(), world_.ledger.lenses.end(),
                     [&lens](const Ledger::Measured& one) { return one.lens.text() == lens.text(); });
    if (known == world_.ledger.lenses.end()) known = world_.ledger.lenses.insert(known, {lens, 0});
    const auto nth = known - world_.ledger.lenses.begin();
    const bool accepted = until_accepted([&] {
        std::string capture = lens.capture();
        // The instrument's cable is not perfect either: half a capture, or a byte with a fault.
        if (chance_.one_in(40)) return world_.box().print(capture.substr(0, capture.size() / 2));
        world_.box().print(capture,
                           static_cast<std::uint8_t>(chance_.one_in(40) ? firmware::fault_framing : 0));
    });
    if (!accepted) return fail("lens " + lens.text() + " was never accepted"), false;
    ++world_.ledger.lenses[static_cast<std::size_t>(nth)].accepted;
    world_.tell("accepted " + lens.text());
    return true;
}

bool Volunteer::press(std::uint8_t keys, bool long_press) {
    const bool accepted = until_accepted([&] {
        world_.box().hold_keys(keys);
        world_.wait(long_press ? 1100 : 100);
        world_.box().hold_keys(0);
    });
    if (!accepted) return fail("a key press was never accepted"), false;
    ++world_.ledger.keys_accepted;
    world_.tell("accepted key " + std::to_string(keys) + (long_press ? " long" : ""));
    return true;
}

bool Volunteer::until_accepted(const std::function<void()>& act) {
    for (unsigned tries = 0; tries < most_tries; ++tries) {
        if (tries != 0) ++world_.ledger.again;
        if (!get_ready()) return false;
        const AdapterBox& box = world_.box();
        const unsigned seen = box.accepted_seen();
        unsigned starts = box.starts();
        act();
        for (;;) {
            (void)world_.wait([&] { return box.accepted_seen() != seen || box.starts() != starts; },
                              patience_for_cue_ms);
            if (box.accepted_seen() != seen) return true;
            if (box.starts() == starts) break;
            // The power went: the lamp is waited for again when it is back.
            starts = box.starts();
            if (!world_.wait([&] { return box.running() || box.starts() != starts; },
                             patience_for_adapter_ms))
                return fail("the adapter did not come back"), false;
        }
        world_.wait(chance_.between(300, 4000));
    }
    return false;
}

/// The adapter runs, and shows nothing that could be taken for an answer; the hands have been busy for a
/// moment.
bool Volunteer::get_ready() {
    const AdapterBox& box = world_.box();
    for (unsigned tries = 0; tries < 1000; ++tries) {
        if (!world_.wait([&] { return box.running() && !box.accepted_lit(); }, patience_for_adapter_ms))
            return fail("the adapter was not ready again"), false;
        const unsigned starts = box.starts();
        const bool disturbed =
            world_.wait([&] { return box.starts() != starts || box.accepted_lit() || !box.running(); },
                        chance_.between(turning_ms, 4 * turning_ms));
        if (!disturbed) return true;
    }
    return fail("the adapter never comes to rest"), false;
}

void Volunteer::answer(const record::Pair& pair) {
    record::Acted act;
    act.pair = pair.id;
    if (pair.late && pair.questions.empty()) {
        act.act = "release";
    } else if (!pair.questions.empty() && !pair.questions.front().choices.empty()) {
        const auto& choices = pair.questions.front().choices;
        act.act = "answer";
        act.text = choices[chance_.below(static_cast<unsigned>(choices.size()))];
    } else if (!pair.questions.empty() && pair.questions.front().id == pairing::ask::two_places) {
        act.act = "mark";
        act.values = {{"lens_type", "segment"}};
    } else {
        act.act = "turn-down";
        act.text = "nobody wants to decide";
    }
    (void)world_.act(act);
}

/// Answers what is asked about the pair at the bench, and now and then what lies in the tray.
void Volunteer::look_at_screen() {
    const pairing::Table& table = world_.screen().table();
    const record::Pair* at_bench = table.latest();
    if (at_bench != nullptr && (!at_bench->questions.empty() || at_bench->late))
        answer(record::Pair(*at_bench));
    if (!chance_.one_in(4) || table.count() == 0) return;
    const record::Pair* any =
        world_.screen().table().find(1 + chance_.below(static_cast<unsigned>(table.count())));
    if (any != nullptr && (!any->questions.empty() || any->late)) answer(record::Pair(*any));
}

/// Somebody comes back with a pair that has its label already.
void Volunteer::change_an_old_pair() {
    const pairing::Table& table = world_.screen().table();
    if (table.count() == 0) return;
    record::Acted act;
    act.pair = 1 + chance_.below(static_cast<unsigned>(table.count()));
    switch (chance_.below(4)) {
        case 0:
            act.act = "undo";
            break;
        case 1:
            act.act = "turn-down";
            act.text = "scratched";
            break;
        case 2:
            act.act = "set-aside";
            break;
        default:
            act.act = "mark";
            act.values = {{"style", chance_.one_in(2) ? "women" : "men"}};
    }
    (void)world_.act(act);
}

/// What `pairmark labels` offers: the list is gone through, one is printed again, all are held for a moment.
void Volunteer::look_at_labels() {
    if (!world_.daemon_runs()) return;
    const std::vector<store::StoredIntent> intents = world_.store().intents();
    if (intents.empty()) return;
    const store::StoredIntent& any = intents[chance_.below(static_cast<unsigned>(intents.size()))];
    const auto say = [this](const char* act, const std::string& number) {
        (void)world_.act({act, std::nullopt, {}, number});
    };
    switch (chance_.below(5)) {
        case 0:
            return say("print-again", any.label);
        case 1:
            say("print-hold", {});
            world_.wait(chance_.between(100, 5000));
            return say("print-resume", {});
        case 2:
            return say("print-hold", {});
        default:
            break;
    }
    for (const store::StoredIntent& intent : intents) {
        if (intent.outcome == record::PrintOutcome::held) return say("print-release", intent.label);
        if (intent.outcome != record::PrintOutcome::in_doubt) continue;
        const bool there = std::any_of(world_.printer.pile.begin(), world_.printer.pile.end(),
                                       [&intent](const FakePrinter::Sheet& sheet) {
                                           return sheet.number == intent.label && sheet.copy == intent.copy;
                                       });
        return say(there ? "print-confirm" : "print-again", intent.label);
    }
    return say("print-resume", {});
}

void Volunteer::tidy_up() {
    (void)world_.act({"print-resume", std::nullopt, {}, {}});
    for (std::int64_t id = 1; id <= world_.screen().table().count(); ++id) {
        const record::Pair* pair = world_.screen().table().find(id);
        if (pair->state == record::PairState::gone) continue;
        if (pair->late && pair->questions.empty()) (void)world_.act({"release", id, {}, {}});
    }
    // What is held for the clock and what is held by the printer take a word each.
    for (int look = 0; look < 3; ++look) {
        for (const store::StoredIntent& intent : world_.store().intents(record::PrintOutcome::held))
            (void)world_.act({"release", intent.pair, {}, {}});
        world_.wait(2000);
    }
}

}  // namespace pairmark::days
