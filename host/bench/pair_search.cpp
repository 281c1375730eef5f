#include "host/bench/pair_search.hpp"

#include <stdexcept>

#include "host/record/json.hpp"

namespace pairmark::bench {

PairSearch::PairSearch(std::int64_t pair) : id_(pair), rules_now_(grading::default_rules_text()) {}

void PairSearch::take(const record::Event& event) {
    std::vector<Outcome> outcomes;
    try {
        outcomes = pipeline_.apply(event);
    } catch (const std::runtime_error& bad) {
        throw record::BadRecord("event " + std::to_string(event.sequence) + ": " + bad.what());
    }
    if (const auto* text = std::get_if<record::TextInForce>(&event.body);
        text != nullptr && text->role == "rules")
        rules_now_ = text->text;
    for (const Outcome& outcome : outcomes) {
        if (outcome.what != Outcome::What::settled || outcome.pair != id_) continue;
        rules_then_ = rules_now_;
        settled_by_ = event.sequence;
        settled_at_ = event.at;
    }
}

std::optional<FoundPair> PairSearch::found() const {
    const record::Pair* pair = pipeline_.table().find(id_);
    if (pair == nullptr) return std::nullopt;
    FoundPair found;
    found.pair = *pair;
    found.verdict = pipeline_.verdict(*pair);
    found.number = pipeline_.table().number(id_);
    found.is_settled = pipeline_.is_graded(*pair);
    found.rules_text = found.is_settled ? rules_then_ : rules_now_;
    if (found.is_settled) {
        found.settled_by = settled_by_;
        found.settled_at = settled_at_;
    }
    return found;
}

}  // namespace pairmark::bench
