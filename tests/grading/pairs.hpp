// Pairs and rules for tests.
#pragma once

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "host/grading/rules.hpp"

namespace pairmark::tests {

inline record::MeasuredLens measured(double sphere, double cylinder = 0, double axis = 0,
                                     std::optional<double> addition = std::nullopt) {
    record::MeasuredLens lens;
    lens.reading.power = {optics::Dioptre::nearest(sphere), optics::Dioptre::nearest(cylinder), axis};
    if (addition) lens.reading.addition = optics::Dioptre::nearest(*addition);
    return lens;
}

inline record::Pair pair_of(record::MeasuredLens right, record::MeasuredLens left, record::Marks marks = {}) {
    record::Pair pair;
    pair.state = record::PairState::complete;
    pair.right = std::move(right);
    pair.left = std::move(left);
    pair.marks = std::move(marks);
    return pair;
}

/// Rules with these members beside name and date.
inline grading::Rules rules_with(const std::string& members) {
    return grading::parse_rules(R"({"name": "Test", "date": "2026-01-01", )" + members + "}");
}

/// One discarding rule "r" with this condition.
inline grading::Rules discarding(const std::string& condition, const std::string& granted = "{}") {
    return rules_with(R"("take_for_granted": )" + granted +
                      R"(, "rules": [{"id": "r", "verdict": "discard", "say": "No", "when": )" + condition +
                      "}]");
}

inline bool discards(const grading::Rules& rules, const record::Pair& pair) {
    return grading::grade(rules, pair).decision == record::Decision::discard;
}

inline std::vector<std::string> reasons_of(const record::Verdict& verdict) {
    std::vector<std::string> ids;
    std::transform(verdict.reasons.begin(), verdict.reasons.end(), std::back_inserter(ids),
                   [](const record::Reason& reason) { return reason.rule; });
    return ids;
}

inline grading::Rules example_rules() {
    return grading::parse_rules(grading::default_rules_text());
}

}  // namespace pairmark::tests
