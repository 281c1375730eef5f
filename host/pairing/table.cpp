#include <algorithm>
#include <utility>

#include "host/pairing/machine.hpp"

namespace pairmark::pairing {

using record::PairState;

std::vector<Change> Table::Machine::apply(const record::Event& event) {
    changes_.clear();
    const auto awaited_before = awaited();
    if (const auto* taken = std::get_if<record::ReadingTaken>(&event.body)) {
        take_reading(*taken, event.sequence);
    } else if (const auto* pressed = std::get_if<record::KeyPressed>(&event.body)) {
        press(*pressed);
    } else if (const auto* acted = std::get_if<record::Acted>(&event.body)) {
        act(*acted);
    } else if (const auto* greeted = std::get_if<record::Greeted>(&event.body)) {
        if (greeted->reset || greeted->changed) ++boots_;
    } else if (const auto* timed_out = std::get_if<record::TimedOut>(&event.body)) {
        time_out(*timed_out);
    } else if (const auto* numbered = std::get_if<record::Numbered>(&event.body)) {
        number(*numbered);
    }
    if (const auto eye = awaited(); eye != awaited_before)
        changes_.push_back(
            {Change::What::awaiting, hand_, eye ? std::string(record::word(*eye)) : std::string()});
    return std::move(changes_);
}

bool Table::Machine::settle(std::int64_t id, record::Decision decision) {
    if (!needs_decision(id)) return false;
    Slot& settled = *slot(id);
    settled.now.settled = decision;
    settled.pair().state = state_of(settled);
    return true;
}

bool Table::Machine::needs_decision(std::int64_t id) const {
    const Slot* found = find(id);
    if (!found) return false;
    const record::Pair& pair = found->pair();
    return pair.state == PairState::complete && pair.questions.empty() && pair.looked_over && !pair.late;
}

const Slot* Table::Machine::find(std::int64_t id) const {
    return id >= 1 && id <= count() ? &slots_[static_cast<std::size_t>(id - 1)] : nullptr;
}

Slot* Table::Machine::slot(std::int64_t id) {
    return id >= 1 && id <= count() ? &slots_[static_cast<std::size_t>(id - 1)] : nullptr;
}

const Slot* Table::Machine::in_hand() const {
    const Slot* found = find(hand_);
    return found && !found->now.away && found->pair().state != PairState::asking ? found : nullptr;
}

Slot* Table::Machine::open_in_hand() {
    Slot* found = hand();
    return found && !found->now.away && found->pair().state == PairState::open ? found : nullptr;
}

std::optional<record::Eye> Table::Machine::awaited() const {
    const Slot* found = find(hand_);
    if (!found || found->now.away || found->pair().state != PairState::open) return record::Eye::right;
    if (has_question(found->pair(), ask::after_restart)) return std::nullopt;
    return awaited_in(found->pair());
}

Slot& Table::Machine::add_slot() {
    Slot& added = slots_.emplace_back();
    added.pair().id = count();
    added.pair().looked_over = settings_.looked_over_earlier;
    added.now.boot = boots_;
    added.steps.reserve(2);
    return added;
}

Slot& Table::Machine::begin() {
    Step step;
    step.hand_before = hand_;
    put_away_hand(step);
    Slot& begun = add_slot();
    begun.steps.push_back(std::move(step));
    hand_ = begun.pair().id;
    return begun;
}

Step& Table::Machine::remember(Slot& slot) {
    Step step;
    step.kind = Step::Kind::changed;
    step.before = std::make_unique<Content>(slot.now);
    step.hand_before = hand_;
    slot.steps.push_back(std::move(step));
    void_label(slot);
    slot.now.settled.reset();
    return slot.steps.back();
}

void Table::Machine::void_label(Slot& slot) {
    if (slot.number.empty()) return;
    changes_.push_back({Change::What::label_void, slot.pair().id, slot.number});
    slot.void_numbers.push_back(std::move(slot.number));
    slot.number.clear();
}

void Table::Machine::put_away_hand(Step& step) {
    Slot* before = hand();
    if (!before || before->now.away) return;
    before->now.away = true;
    step.put_away = hand_;
    step.asked = ask_what_is_missing(*before);
    if (before->pair().state != state_of(*before) || !step.asked.empty()) done(*before);
}

std::string_view Table::Machine::ask_what_is_missing(Slot& slot) {
    record::Pair& pair = slot.pair();
    if (!pair.questions.empty() || pair.turned_down_because || pair.state == PairState::gone) return {};
    std::string_view id;
    if (!pair.has_both()) {
        id = ask::half_pair_left_behind;
    } else if (!pair.looked_over && !slot.now.settled) {
        id = ask::not_looked_over;
    } else {
        return {};
    }
    pair.questions.push_back(question(id));
    return id;
}

void Table::Machine::done(Slot& slot) {
    if (slot.pair().has_both() && !slot.pair().questions.empty()) {
        remove_question(slot.pair(), ask::half_pair_old);
        remove_question(slot.pair(), ask::half_pair_left_behind);
    }
    if (slot.now.away) ask_what_is_missing(slot);
    slot.pair().state = state_of(slot);
    const std::int64_t id = slot.pair().id;
    const bool told = std::any_of(changes_.begin(), changes_.end(), [id](const Change& change) {
        return change.what == Change::What::pair && change.pair == id;
    });
    if (!told) changes_.push_back({Change::What::pair, id, {}});
}

void Table::Machine::say(std::int64_t pair, std::string sentence) {
    changes_.push_back({Change::What::said, pair, std::move(sentence)});
}

Table::Table(Settings settings) : machine_(std::make_unique<Machine>(settings)) {}
Table::~Table() = default;
Table::Table(Table&&) noexcept = default;
Table& Table::operator=(Table&&) noexcept = default;

std::vector<Change> Table::apply(const record::Event& event) {
    return machine_->apply(event);
}
bool Table::settle(std::int64_t pair, record::Decision decision) {
    return machine_->settle(pair, decision);
}
void Table::use(Settings settings) {
    machine_->use(settings);
}
bool Table::needs_decision(std::int64_t pair) const {
    return machine_->needs_decision(pair);
}
std::int64_t Table::count() const {
    return machine_->count();
}
record::InstrumentCheck Table::instrument_check() const {
    return machine_->instrument_check();
}
std::optional<record::Eye> Table::awaited() const {
    return machine_->awaited();
}

namespace {
const record::Pair* pair_of(const Slot* slot) {
    return slot ? &slot->pair() : nullptr;
}
}  // namespace

const record::Pair* Table::find(std::int64_t pair) const {
    return pair_of(machine_->find(pair));
}
const record::Pair* Table::at_bench() const {
    return pair_of(machine_->in_hand());
}
const record::Pair* Table::latest() const {
    return pair_of(machine_->latest());
}

const std::string& Table::number(std::int64_t pair) const {
    static const std::string none;
    const Slot* found = machine_->find(pair);
    return found ? found->number : none;
}

std::vector<std::int64_t> Table::pending(std::int64_t pair) const {
    std::vector<std::int64_t> events;
    if (const Slot* found = machine_->find(pair)) {
        for (const Arrival& arrival : found->now.held)
            events.push_back(arrival.lens.event);
    }
    return events;
}

std::vector<std::int64_t> Table::superseded(std::int64_t pair) const {
    const Slot* found = machine_->find(pair);
    return found ? found->now.superseded : std::vector<std::int64_t>{};
}

}  // namespace pairmark::pairing
