#include "host/grading/remarks.hpp"

#include <algorithm>
#include <functional>
#include <map>

#include "host/grading/bounds.hpp"
#include "host/grading/evaluate.hpp"
#include "host/grading/in_words.hpp"
#include "host/grading/typical_pairs.hpp"

namespace pairmark::grading {

namespace {

using Kind = Condition::Kind;
using optics::Dioptre;
using optics::Power;

void for_each_comparison(const Condition& condition, const std::function<void(const Condition&)>& take) {
    if (condition.kind == Kind::quantity || condition.kind == Kind::mark) take(condition);
    for (const Condition& part : condition.parts)
        for_each_comparison(part, take);
}

bool uses(const Condition& condition, Quantity quantity) {
    bool found = false;
    for_each_comparison(condition, [&](const Condition& one) {
        found = found || (one.kind == Kind::quantity && one.quantity == quantity);
    });
    return found;
}

/// The condition in words, with the parts of `all` and `any` in one order, each once.
std::string sorted_words(const Condition& condition) {
    Condition sorted = condition;
    const std::function<void(Condition&)> sort = [&sort](Condition& one) {
        for (Condition& part : one.parts)
            sort(part);
        std::sort(one.values.begin(), one.values.end());
        std::sort(one.parts.begin(), one.parts.end(),
                  [](const Condition& a, const Condition& b) { return in_words(a) < in_words(b); });
    };
    sort(sorted);
    return in_words(sorted);
}

/// The mark that leaves the rule open whatever the lenses are; empty: none does. Of a pair that was looked
/// over and of which nothing else was said.
std::string mark_that_is_asked_of_all(const Rules& rules, const Rule& rule) {
    const auto lens = [](int sphere, int cylinder, double axis) {
        return Power{Dioptre::hundredths(sphere), Dioptre::hundredths(cylinder), axis};
    };
    const std::vector<std::pair<Power, Power>> samples{
        {lens(-200, 0, 0), lens(-200, 0, 0)},          {lens(200, 0, 0), lens(225, -50, 90)},
        {lens(-600, -200, 180), lens(-650, -100, 90)}, {lens(0, 0, 0), lens(-100, 0, 0)},
        {lens(100, -325, 45), lens(400, 0, 0)},
    };
    Rules looked_over = rules;
    looked_over.looked_over_is_granted = true;
    std::string mark;
    for (const auto& [right, left] : samples) {
        record::Pair pair = typical_pair(right, left);
        pair.marks.clear();
        const Finding finding = evaluate(rule.when, facts_of(pair, looked_over));
        if (finding.truth != Truth::unknown || finding.because == nullptr ||
            finding.because->kind != Kind::mark)
            return {};
        mark = finding.because->mark;
    }
    return mark;
}

std::string said(std::string_view verdict) {
    return "\"" + std::string(verdict) + "\"";
}

}  // namespace

std::vector<Remark> remarks(const Rules& rules) {
    std::vector<Remark> found;
    std::map<std::string, const Rule*> by_condition;
    for (std::size_t i = 0; i < rules.rules.size(); ++i) {
        const Rule& rule = rules.rules[i];
        const auto remark = [&, i](std::string say) {
            found.push_back({"rules[" + std::to_string(i) + "] (" + rule.id + ")", std::move(say)});
        };
        if (uses(rule.when, Quantity::difference_sphere))
            remark(
                "difference_sphere depends on the form of the cylinder: in plus cylinder it would be another "
                "number; difference_spherical_equivalent and difference_any_meridian do not");
        if (const std::string mark = mark_that_is_asked_of_all(rules, rule); !mark.empty())
            remark("asks of every pair: it needs the mark " + mark +
                   ", which looking over does not settle; let it be given for each pair, or take it for "
                   "granted");
        if (can_never_hold(rule.when))
            remark("can never hold: no pair is as it says; look at its limits");
        else if (always_holds(rule.when))
            remark("holds of every pair of which it can be told; look at its limits");
        const auto [earlier, is_new] = by_condition.emplace(sorted_words(rule.when), &rule);
        if (!is_new && earlier->second->verdict != rule.verdict)
            remark("has the same condition as " + said(earlier->second->id) + ", which says " +
                   said(record::word(earlier->second->verdict)) + " where this one says " +
                   said(record::word(rule.verdict)) + "; the stronger counts: discard, then ask, then keep");
    }
    return found;
}

NeedsOfInstrument needs_of_instrument(const Rules& rules) {
    NeedsOfInstrument needs;
    for (const Rule& rule : rules.rules)
        for_each_comparison(rule.when, [&](const Condition& one) {
            if (one.kind != Kind::quantity) return;
            const std::string_view name = word_of(one.quantity).name;
            needs.addition = needs.addition ||
                             (name.find("addition") != std::string_view::npos && !rules.granted_addition);
            needs.centres = needs.centres || one.quantity == Quantity::centre_distance;
            needs.prism =
                needs.prism || (name.find("prism") != std::string_view::npos && !rules.no_prism_is_granted);
        });
    return needs;
}

}  // namespace pairmark::grading
