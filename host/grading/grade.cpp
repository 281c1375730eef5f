#include <algorithm>
#include <array>
#include <optional>

#include "host/grading/evaluate.hpp"
#include "host/grading/number_words.hpp"
#include "host/grading/rules.hpp"
#include "host/grading/state.hpp"

namespace pairmark::grading {

namespace {

using record::Decision;
using record::Reason;

std::string listed(const std::vector<std::string>& words) {
    std::string all;
    for (const std::string& word : words) {
        all += (all.empty() ? "" : ", ") + word;
    }
    return all;
}

Reason reason_of(const Rule& rule, Decision decision, std::string say, const Finding& finding) {
    Reason reason{rule.id, std::move(say), decision, std::nullopt, std::nullopt, false};
    if (finding.because == nullptr) return reason;
    if (finding.because->kind == Condition::Kind::quantity) {
        reason.value_is_number = true;
        reason.limit = decimal(finding.because->limit, finding.because->limit);
        if (finding.value) reason.value = decimal(*finding.value, finding.because->limit);
    } else {
        reason.limit = listed(finding.because->values);
        if (finding.word) reason.value = std::string(*finding.word);
    }
    return reason;
}

std::string question_of(const Rule& rule, const Finding& finding) {
    if (!rule.question.empty()) return rule.question;
    const Condition& missing = *finding.because;
    switch (missing.kind) {
        case Condition::Kind::mark:
            return "Not known yet: " + missing.mark;
        case Condition::Kind::state:
            return "Not known yet: " + std::string(find_state(missing.mark)->what);
        default:
            return "Not known yet: " + std::string(word_of(missing.quantity).what);
    }
}

Reason plain(std::string id, std::string say, Decision decision) {
    return {std::move(id), std::move(say), decision, std::nullopt, std::nullopt, false};
}

/// The reasons with the trays that they name, strongest first; those of one strength in the order in which
/// they were found.
class Findings {
  public:
    /// `tray` must outlive this; empty: the verdict's own.
    void add(Reason reason, const std::string& tray) {
        const std::size_t at = strength(reason.decision);
        found_[at].push_back({std::move(reason), &tray});
    }
    void add(Reason reason) { add(std::move(reason), no_tray_); }

    /// A question about a reading itself: while it is open, no refusal is settled.
    void doubt(Reason reason) { doubt_ = std::move(reason); }

    bool is_settled() const { return doubt_ || !found_[0].empty(); }

    void into(record::Verdict& verdict, const Trays& trays) {
        if (doubt_) {
            verdict.reasons.push_back(*doubt_);
            for (auto* weaker : {&found_[1], &found_[0], &found_[2]})
                for (Found& found : *weaker)
                    verdict.reasons.push_back(std::move(found.reason));
            verdict.decision = Decision::ask;
            verdict.tray = trays.ask;
            return;
        }
        verdict.decision = !found_[0].empty()   ? Decision::discard
                           : !found_[1].empty() ? Decision::ask
                                                : Decision::keep;
        verdict.tray = verdict.decision == Decision::discard ? trays.discard
                       : verdict.decision == Decision::ask   ? trays.ask
                                                             : trays.keep;
        const auto& deciding = found_[strength(verdict.decision)];
        const auto named =
            std::find_if(deciding.begin(), deciding.end(), [](const Found& f) { return !f.tray->empty(); });
        if (named != deciding.end()) verdict.tray = *named->tray;
        for (std::vector<Found>& of_strength : found_) {
            for (Found& found : of_strength) {
                verdict.reasons.push_back(std::move(found.reason));
            }
        }
    }

  private:
    struct Found {
        Reason reason;
        const std::string* tray;
    };
    static std::size_t strength(Decision decision) {
        return decision == Decision::discard ? 0 : decision == Decision::ask ? 1 : 2;
    }
    std::optional<Reason> doubt_;
    std::array<std::vector<Found>, 3> found_;
    std::string no_tray_;
};

/// What cannot be told asks; once for everything that looking the pair over would settle.
void ask_what_is_unknown(const std::vector<const Rule*>& open, const Facts& facts, Findings& findings) {
    Facts if_looked_over = facts;
    if_looked_over.looked_over = true;
    bool said = false;
    for (const Rule* rule : open) {
        const Finding then = evaluate(rule->when, if_looked_over);
        if (then.truth == Truth::unknown) {
            Reason question = reason_of(*rule, Decision::ask, question_of(*rule, then), then);
            // A discarding rule's tray is not the place for a pair that may yet be kept.
            rule->verdict == Decision::ask ? findings.add(std::move(question), rule->tray)
                                           : findings.add(std::move(question));
        } else if (!said) {
            said = true;
            findings.add(
                plain("not-looked-over", "Not looked over yet: is everything in order?", Decision::ask));
        }
    }
}

/// The one lens of a pair that shows no power on the label: it may be plano or a balance lens, or nothing lay
/// on the stop. Nullopt where both do, or none does, or somebody said that it is so on purpose.
std::optional<std::size_t> doubtful_lens(const Rules& rules, const record::Pair& pair, const Facts& facts) {
    const auto has_no_power = [](const Facts::Lens& lens) {
        return lens.label.sphere == optics::Dioptre() && lens.label.cylinder == optics::Dioptre();
    };
    if (!facts.lenses[0] || !facts.lenses[1]) return std::nullopt;
    const bool right = has_no_power(*facts.lenses[0]);
    if (right == has_no_power(*facts.lenses[1])) return std::nullopt;
    const auto says_so = [](const record::Marks& marks) {
        const auto mark = marks.find("plano");
        return mark != marks.end() && mark->second == "yes";
    };
    const bool marked = pair.marks.contains("plano");
    if (says_so(pair.marks) || (!marked && says_so(rules.granted_marks))) return std::nullopt;
    return right ? 0 : 1;
}

/// True if a rule refuses the pair whatever the power of that lens is.
bool is_refused_without(std::size_t lens, const Rules& rules, Facts facts) {
    facts.lenses[lens].reset();
    return std::any_of(rules.rules.begin(), rules.rules.end(), [&facts](const Rule& rule) {
        return rule.verdict == Decision::discard && evaluate(rule.when, facts).truth == Truth::yes;
    });
}

}  // namespace

namespace {

record::Verdict grade(const Rules& rules, const record::Pair& pair, bool at_bench) {
    const Facts facts = facts_of(pair, rules);
    record::Verdict verdict;
    if (facts.lenses[0]) verdict.right = facts.lenses[0]->label;
    if (facts.lenses[1]) verdict.left = facts.lenses[1]->label;

    Findings findings;
    if (pair.turned_down_because) {
        const std::string& why = *pair.turned_down_because;
        findings.add(plain("turned-down", why.empty() ? "Turned down at the bench" : why, Decision::discard));
    }
    for (const record::Question& question : pair.questions) {
        findings.add(plain(question.id, question.say, Decision::ask));
    }
    if (const auto lens = at_bench ? doubtful_lens(rules, pair, facts) : std::nullopt;
        lens && !pair.turned_down_because && !is_refused_without(*lens, rules, facts))
        findings.doubt(
            plain("nothing-on-the-stop",
                  std::string("The ") + (*lens == 0 ? "right" : "left") +
                      " lens shows no power: was nothing on the stop? Measure it again, or mark it plano",
                  Decision::ask));
    std::vector<const Rule*> open;
    for (const Rule& rule : rules.rules) {
        const Finding finding = evaluate(rule.when, facts);
        if (finding.truth == Truth::yes)
            findings.add(reason_of(rule, rule.verdict, rule.say, finding), rule.tray);
        if (finding.truth == Truth::unknown) open.push_back(&rule);
    }
    // A question whose answer cannot change the verdict is not put; nor is one beside a reading in doubt.
    if (!findings.is_settled()) {
        if (pair.has_both()) {
            ask_what_is_unknown(open, facts, findings);
        } else {
            findings.add(plain("half-pair", "A lens has not been measured yet", Decision::ask));
        }
    }
    findings.into(verdict, rules.trays);

    if (rules.gold_tray) {
        const auto gold = pair.marks.find("gold");
        if (gold != pair.marks.end() && gold->second == "yes") verdict.tray = *rules.gold_tray;
    }
    return verdict;
}

}  // namespace

record::Verdict grade(const Rules& rules, const record::Pair& pair) {
    return grade(rules, pair, false);
}

record::Verdict grade_at_bench(const Rules& rules, const record::Pair& pair) {
    return grade(rules, pair, true);
}

}  // namespace pairmark::grading
