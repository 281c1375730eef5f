#include "host/bench/pipeline.hpp"

#include <algorithm>
#include <utility>

#include "host/optics/compare.hpp"
#include "host/optics/rounding.hpp"

namespace pairmark::bench {

using record::Decision;
using record::Pair;
using record::PairState;
using record::Verdict;

namespace {

/// The addition as it is graded and stands on the label: in quarter dioptres; 0.00 is none.
std::optional<optics::Dioptre> addition_on_label(const record::MeasuredLens& lens) {
    if (!lens.reading.addition) return std::nullopt;
    const optics::Dioptre rounded = optics::on_label({*lens.reading.addition, {}, 0}).sphere;
    if (rounded == optics::Dioptre()) return std::nullopt;
    return rounded;
}

}  // namespace

Pipeline::Pipeline() : rules_(grading::parse_rules(grading::default_rules_text())) {}

void Pipeline::use_only(grading::Rules rules) {
    rules_ = std::move(rules);
    rules_fixed_ = true;
}

void Pipeline::take_text(const record::TextInForce& text) {
    if (text.role == "settings") {
        settings_ = parse_settings(text.text);
        filing_.use(settings_.filing);
        table_.use(pairing::Settings{settings_.looked_over_earlier});
    } else if (text.role == "rules") {
        rules_hash_ = text.hash;
        if (!rules_fixed_) rules_ = grading::parse_rules(text.text);
    }
}

/// A pair leaves stock when it goes to a tray or is taken back whole; while it is in hand again its slot
/// waits for it.
void Pipeline::follow_filing(std::int64_t id) {
    const Pair* pair = table_.find(id);
    if (pair == nullptr) return;
    if (pair->state == PairState::turned_down || pair->state == PairState::asking ||
        pair->state == PairState::gone)
        filing_.take_out(id);
}

std::vector<Outcome> Pipeline::apply(const record::Event& event) {
    std::vector<Outcome> outcomes;
    if (const auto* text = std::get_if<record::TextInForce>(&event.body)) take_text(*text);
    for (pairing::Change& change : table_.apply(event)) {
        switch (change.what) {
            case pairing::Change::What::label_void:
                outcomes.push_back({Outcome::What::label_void, change.pair, std::move(change.text)});
                break;
            case pairing::Change::What::said:
                outcomes.push_back({Outcome::What::said, change.pair, std::move(change.text)});
                break;
            case pairing::Change::What::awaiting:
                break;
            case pairing::Change::What::pair: {
                outcomes.push_back({Outcome::What::pair, change.pair, {}});
                const Pair* pair = table_.find(change.pair);
                if (pair == nullptr || !table_.needs_decision(change.pair)) {
                    follow_filing(change.pair);
                    break;
                }
                Verdict verdict = grading::grade_at_bench(rules_, *pair);
                const Decision decision = verdict.decision;
                verdicts_.insert_or_assign(change.pair, std::move(verdict));
                table_.settle(change.pair, decision);
                follow_filing(change.pair);
                outcomes.push_back({Outcome::What::settled, change.pair, {}});
                break;
            }
        }
    }
    if (const auto* numbered = std::get_if<record::Numbered>(&event.body))
        // A number that pairing did not take labels nothing, and nothing lies at its place.
        if (!numbered->number.empty() && table_.number(numbered->pair) == numbered->number)
            filing_.file(numbered->pair, numbered->place);
    return outcomes;
}

bool Pipeline::is_graded(const Pair& pair) const {
    const bool by_hand = pair.turned_down_because.has_value();
    const bool settled = pair.state == PairState::decided || pair.state == PairState::labelled ||
                         (pair.state == PairState::turned_down && !by_hand) ||
                         (pair.state == PairState::asking && pair.questions.empty());
    return settled && verdicts_.contains(pair.id);
}

Verdict Pipeline::verdict(const Pair& pair) const {
    return is_graded(pair) ? verdicts_.at(pair.id) : verdict_by(rules_, pair);
}

Verdict verdict_by(const grading::Rules& rules, const Pair& pair) {
    Verdict verdict = grading::grade_at_bench(rules, pair);
    if ((pair.state == PairState::asking || !pair.questions.empty()) &&
        verdict.decision == Decision::discard && !pair.turned_down_because) {
        // A question puts a reading in doubt, so a refusal that hangs on it is not settled: first the answer.
        verdict.decision = Decision::ask;
        verdict.tray = rules.trays.ask;
        std::stable_partition(verdict.reasons.begin(), verdict.reasons.end(),
                              [](const record::Reason& reason) { return reason.decision == Decision::ask; });
    }
    return verdict;
}

record::LabelFacts Pipeline::label_facts(const Pair& pair, const record::Numbered& numbered) const {
    const Verdict graded = verdict(pair);
    record::LabelFacts facts;
    facts.number = numbered.number;
    facts.date = numbered.date;
    facts.place = numbered.place;
    facts.programme = settings_.programme;
    facts.right = graded.right;
    facts.left = graded.left;
    facts.right_equivalent = optics::spherical_equivalent(graded.right);
    facts.left_equivalent = optics::spherical_equivalent(graded.left);
    facts.right_addition = addition_on_label(*pair.right);
    facts.left_addition = addition_on_label(*pair.left);
    if (const auto kind = pair.marks.find("lens_type"); kind != pair.marks.end() && kind->second != "single")
        facts.addition_kind = kind->second;
    const bool has_addition = facts.right_addition || facts.left_addition;
    if (has_addition) facts.addition_by = said_of(pair, "addition_by");
    facts.centres_mm = pair.centres_mm;
    facts.typed = pair.right->typed || pair.left->typed;
    const LabelWishes& wanted = settings_.label.wishes;
    if (wanted.frame_size) facts.frame_size = said_of(pair, "frame_size");
    if (wanted.style) facts.style = said_of(pair, "style");
    if (wanted.rim) facts.rim = said_of(pair, "rim");
    if (wanted.wearer) {
        const std::string child = said_of(pair, "child");
        if (!child.empty()) facts.wearer = child == "yes" ? "child" : "adult";
    }
    facts.single_vision = wanted.lens_type && !has_addition && said_of(pair, "lens_type") == "single";
    facts.extra = wanted.extra;
    return facts;
}

/// A mark as somebody gave it for this very pair: by name, or by the key press "looked over, all in order".
/// That pairs are looked over at an earlier table says nothing of one pair that a label could repeat.
std::string Pipeline::said_of(const Pair& pair, const char* mark) const {
    if (const auto given = pair.marks.find(mark); given != pair.marks.end()) return given->second;
    if (!pair.looked_over || settings_.looked_over_earlier) return {};
    static const record::Marks in_order = record::all_in_order();
    const auto found = in_order.find(mark);
    return found == in_order.end() ? std::string() : found->second;
}

std::string Pipeline::place_for(const Pair& pair, std::int64_t counter) const {
    return filing_.place_for(pair.id, verdict(pair).right, counter);
}

}  // namespace pairmark::bench
