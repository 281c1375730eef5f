#include "host/grading/explain.hpp"

#include <algorithm>
#include <iterator>

#include "host/grading/in_words.hpp"

namespace pairmark::grading {

namespace {

Explained::From origin_of(const Condition& mark, const Facts& facts, bool is_known) {
    if (!is_known) return Explained::From::nobody;
    if (mark.kind == Condition::Kind::state) return Explained::From::measuring;
    if (facts.pair->marks.contains(mark.mark)) return Explained::From::given;
    return mark.granted ? Explained::From::taken_for_granted : Explained::From::looked_over;
}

Explained explain(const Condition& condition, const Facts& facts) {
    const Finding finding = evaluate(condition, facts);
    Explained explained;
    explained.condition = &condition;
    explained.truth = finding.truth;
    if (condition.kind == Condition::Kind::quantity) {
        explained.value = finding.value;
    } else if (condition.kind == Condition::Kind::mark || condition.kind == Condition::Kind::state) {
        if (finding.word) explained.word = std::string(*finding.word);
        explained.from = origin_of(condition, facts, finding.word.has_value());
    } else {
        for (const Condition& part : condition.parts)
            explained.parts.push_back(explain(part, facts));
    }
    return explained;
}

}  // namespace

std::vector<ExplainedRule> explain(const Rules& rules, const record::Pair& pair) {
    const Facts facts = facts_of(pair, rules);
    std::vector<ExplainedRule> all;
    std::transform(rules.rules.begin(), rules.rules.end(), std::back_inserter(all),
                   [&facts](const Rule& rule) {
                       return ExplainedRule{&rule, explain(rule.when, facts)};
                   });
    return all;
}

std::string seen_in_words(const Explained& explained) {
    if (explained.value)
        return value_in_words(word_of(explained.condition->quantity), *explained.value,
                              explained.condition->limit);
    if (!explained.word) return {};
    switch (explained.from) {
        case Explained::From::given:
            return *explained.word + ", given";
        case Explained::From::measuring:
            return *explained.word;
        case Explained::From::taken_for_granted:
            return *explained.word + ", taken for granted";
        default:
            return *explained.word + ", looked over";
    }
}

}  // namespace pairmark::grading
