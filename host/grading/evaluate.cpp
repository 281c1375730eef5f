#include "host/grading/evaluate.hpp"

#include <algorithm>

#include "host/optics/compare.hpp"
#include "host/optics/rounding.hpp"
#include "host/optics/transpose.hpp"

namespace pairmark::grading {

namespace {

Truth truth(bool holds) {
    return holds ? Truth::yes : Truth::no;
}

bool fits(double value, Bound bound, double limit) {
    switch (bound) {
        case Bound::over:
            return optics::is_over(value, limit);
        case Bound::at_least:
            return !optics::is_under(value, limit);
        case Bound::under:
            return optics::is_under(value, limit);
        default:
            return !optics::is_over(value, limit);
    }
}

std::optional<double> of_lens(const Condition& condition, const std::optional<Facts::Lens>& lens) {
    if (!lens) return std::nullopt;
    if (condition.quantity == Quantity::addition) {
        return condition.measured ? lens->measured_addition : lens->label_addition;
    }
    return quantity_of_lens(condition.quantity, condition.measured ? lens->measured : lens->label);
}

std::optional<double> of_pair(const Condition& condition, const Facts& facts) {
    if (condition.quantity == Quantity::centre_distance) return facts.centres_mm;
    if (!facts.lenses[0] || !facts.lenses[1]) return std::nullopt;
    return condition.measured
               ? difference(condition.quantity, facts.lenses[0]->measured, facts.lenses[1]->measured)
               : difference(condition.quantity, facts.lenses[0]->label, facts.lenses[1]->label);
}

Finding compare(const Condition& condition, std::optional<double> value) {
    if (!value) return {Truth::unknown, &condition, std::nullopt, nullptr};
    return {truth(fits(*value, condition.bound, condition.limit)), &condition, value, nullptr};
}

/// "either" is settled by the lens that fits best, "both" by the one that fits worst; one that is unknown
/// leaves it open unless the other settles it alone.
Finding compare_lenses(const Condition& condition, const Facts& facts) {
    const std::optional<double> right = of_lens(condition, facts.lenses[0]);
    const std::optional<double> left = of_lens(condition, facts.lenses[1]);
    if (condition.lenses == Lenses::right) return compare(condition, right);
    if (condition.lenses == Lenses::left) return compare(condition, left);

    const bool either = condition.lenses == Lenses::either;
    if (right && left) {
        const bool more_fits = condition.bound == Bound::over || condition.bound == Bound::at_least;
        return compare(condition, either == more_fits ? std::max(*right, *left) : std::min(*right, *left));
    }
    const Finding known = compare(condition, right ? right : left);
    const Truth settles = either ? Truth::yes : Truth::no;
    return known.truth == settles ? known : compare(condition, std::nullopt);
}

Finding look_for_mark(const Condition& condition, const Facts& facts) {
    const std::string* value = nullptr;
    if (const auto given = facts.marks->find(condition.mark); given != facts.marks->end()) {
        value = &given->second;
    } else if (condition.granted) {
        value = &*condition.granted;
    } else if (facts.looked_over && condition.in_order) {
        value = &*condition.in_order;
    }
    if (value == nullptr) return {Truth::unknown, &condition, std::nullopt, nullptr};
    const bool has_it =
        std::find(condition.values.begin(), condition.values.end(), *value) != condition.values.end();
    return {truth(has_it), &condition, std::nullopt, value};
}

/// The first part that settles the whole alone, else the first that leaves it open, else the first.
Finding join(const Condition& condition, const Facts& facts, Truth settles) {
    std::optional<Finding> first;
    std::optional<Finding> open;
    for (const Condition& part : condition.parts) {
        const Finding finding = evaluate(part, facts);
        if (finding.truth == settles) return finding;
        if (finding.truth == Truth::unknown && !open) open = finding;
        if (!first) first = finding;
    }
    if (open) return *open;
    return first ? *first : Finding{};
}

Finding negate(Finding finding) {
    if (finding.truth != Truth::unknown) finding.truth = truth(finding.truth == Truth::no);
    return finding;
}

}  // namespace

Finding evaluate(const Condition& condition, const Facts& facts) {
    switch (condition.kind) {
        case Condition::Kind::quantity:
            return word_of(condition.quantity).of_one_lens ? compare_lenses(condition, facts)
                                                           : compare(condition, of_pair(condition, facts));
        case Condition::Kind::mark:
            return look_for_mark(condition, facts);
        case Condition::Kind::all:
            return join(condition, facts, Truth::no);
        case Condition::Kind::any:
            return join(condition, facts, Truth::yes);
        default:
            return negate(evaluate(condition.parts.front(), facts));
    }
}

Facts facts_of(const record::Pair& pair, bool looked_over_is_granted,
               std::optional<optics::Dioptre> granted_addition) {
    Facts facts;
    for (const record::Eye eye : {record::Eye::right, record::Eye::left}) {
        const std::optional<record::MeasuredLens>& lens = pair.lens(eye);
        if (!lens) continue;
        Facts::Lens& known = facts.lenses[eye == record::Eye::right ? 0 : 1].emplace();
        known.measured = optics::to_minus_cylinder(lens->reading.power);
        known.label = optics::on_label(known.measured);
        const std::optional<optics::Dioptre> addition =
            lens->reading.addition ? lens->reading.addition : granted_addition;
        if (addition) {
            known.measured_addition = addition->value();
            known.label_addition = optics::on_label({*addition, {}, 0}).sphere.value();
        }
    }
    facts.centres_mm = pair.centres_mm;
    facts.marks = &pair.marks;
    facts.looked_over = pair.looked_over || looked_over_is_granted;
    return facts;
}

}  // namespace pairmark::grading
