#include "host/bench/derived.hpp"

#include <stdexcept>

#include "host/label/number.hpp"
#include "host/record/json.hpp"
#include "host/record/words.hpp"

namespace pairmark::bench {

using record::Pair;
using record::PairState;

namespace {

constexpr const char* valid = "valid";
constexpr const char* void_word = "void";

/// The daemon writes no row for these: see the header.
bool may_be_without_row(PairState state) {
    return state == PairState::open || state == PairState::decided;
}

/// Nullopt if the number is the one that series and counter make.
std::optional<std::string> fault_in(const record::Numbered& numbered) {
    const auto parts = label::verify_number(numbered.number);
    if (!parts) return "is no number that this program gives";
    if (parts->series != numbered.series || parts->counter != numbered.counter)
        return "does not say series " + record::in_quotes(numbered.series) + " and counter " +
               std::to_string(numbered.counter);
    return std::nullopt;
}

}  // namespace

void Deriver::take(const record::Event& event) {
    ++derived_.events;
    if (const auto* printed = std::get_if<record::Printed>(&event.body))
        derived_.printed.insert_or_assign({printed->number, std::int64_t{printed->copy}}, printed->outcome);
    if (const auto* numbered = std::get_if<record::Numbered>(&event.body)) number(*numbered, event.sequence);
    std::vector<Outcome> outcomes;
    try {
        outcomes = pipeline_.apply(event);
    } catch (const std::runtime_error& bad) {
        throw record::BadRecord(std::string("body.text: ") + bad.what());
    }
    for (const Outcome& outcome : outcomes) {
        if (outcome.what == Outcome::What::label_void) void_number(outcome.text);
        if (outcome.what == Outcome::What::pair) follow(outcome.pair, event.sequence);
    }
}

/// Before the event is applied: the facts are those of the pair as it was kept.
void Deriver::number(const record::Numbered& numbered, std::int64_t sequence) {
    const std::string quoted = "number " + record::in_quotes(numbered.number);
    if (const auto fault = fault_in(numbered)) derived_.oddities.push_back({sequence, quoted + " " + *fault});
    if (label_at_.contains(numbered.number)) {
        derived_.oddities.push_back({sequence, quoted + " was given before"});
        return;
    }
    if (!counters_.emplace(numbered.series, numbered.counter).second) {
        derived_.oddities.push_back({sequence, quoted + " has a counter that was given before"});
        return;
    }
    DerivedLabel label;
    label.event = sequence;
    label.paper = pipeline_.paper();
    label.rules_hash = pipeline_.rules_hash();
    const Pair* pair = pipeline_.table().find(numbered.pair);
    label.was_kept = pair != nullptr && pair->state == PairState::decided;
    if (label.was_kept) {
        label.facts = pipeline_.label_facts(*pair, numbered);
    } else {
        derived_.oddities.push_back({sequence, quoted + " was given to pair " +
                                                   std::to_string(numbered.pair) +
                                                   ", which is not kept at that point"});
        label.facts.number = numbered.number;
        label.facts.date = numbered.date;
        label.facts.place = numbered.place;
    }
    label.row = {numbered.number,
                 numbered.pair,
                 numbered.series,
                 numbered.counter,
                 label.was_kept ? valid : void_word,
                 numbered.date,
                 numbered.place,
                 record::to_json(label.facts).dump()};
    label_at_.emplace(numbered.number, derived_.labels.size());
    derived_.labels.push_back(std::move(label));
}

void Deriver::void_number(const std::string& number) {
    if (const auto found = label_at_.find(number); found != label_at_.end())
        derived_.labels[found->second].row.state = void_word;
}

void Deriver::follow(std::int64_t id, std::int64_t sequence) {
    const Pair* pair = pipeline_.table().find(id);
    if (pair == nullptr || id < 1) return;
    const auto index = static_cast<std::size_t>(id - 1);
    if (index >= derived_.pairs.size()) derived_.pairs.resize(index + 1);
    if (pair->state == PairState::open) return;
    DerivedPair& derived = derived_.pairs[index];
    if (!may_be_without_row(pair->state)) {
        derived.rows.clear();
        derived.needs_row = true;
    }
    derived.rows.push_back({id, std::string(record::word(pair->state)), record::to_json(*pair).dump(),
                            record::to_json(pipeline_.verdict(*pair)).dump(), sequence});
}

Derived Deriver::finish() && {
    const auto count = static_cast<std::size_t>(pipeline_.table().count());
    derived_.pairs.resize(count);
    for (std::size_t i = 0; i < count; ++i) {
        const auto id = static_cast<std::int64_t>(i) + 1;
        const PairState state = pipeline_.table().find(id)->state;
        if (state == PairState::open) derived_.open_pairs.push_back(id);
        if (state == PairState::decided) derived_.unlabelled.push_back(id);
    }
    return std::move(derived_);
}

}  // namespace pairmark::bench
