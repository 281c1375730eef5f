#include "host/grading/evaluate.hpp"

#include <algorithm>
#include <cmath>

#include "host/grading/state.hpp"
#include "host/optics/compare.hpp"
#include "host/optics/rounding.hpp"
#include "host/optics/transpose.hpp"
#include "host/optics/vertical_imbalance.hpp"

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
    if (condition.quantity == Quantity::prism_horizontal || condition.quantity == Quantity::prism_vertical) {
        if (!lens->prism) return std::nullopt;
        const bool horizontal = condition.quantity == Quantity::prism_horizontal;
        return std::abs((horizontal ? lens->prism->horizontal : lens->prism->vertical).value());
    }
    return quantity_of_lens(condition.quantity, condition.measured ? lens->measured : lens->label);
}

/// Heights of two lenses compare only where the table was not moved between them: else a frame that was
/// lifted shows as prism.
std::optional<double> between_vertical_prisms(const Facts& facts) {
    const std::optional<record::Prism>& right = facts.lenses[0]->prism;
    const std::optional<record::Prism>& left = facts.lenses[1]->prism;
    if (right && left && facts.one_table) return std::abs((right->vertical - left->vertical).value());
    return facts.no_prism_is_granted ? std::optional(0.0) : std::nullopt;
}

std::optional<double> apart(const std::optional<double>& right, const std::optional<double>& left) {
    return right && left ? std::optional(std::abs(*right - *left)) : std::nullopt;
}

std::optional<double> of_pair(const Condition& condition, const Facts& facts) {
    if (condition.quantity == Quantity::centre_distance) return facts.centres_mm;
    if (!facts.lenses[0] || !facts.lenses[1]) return std::nullopt;
    const Facts::Lens& right = *facts.lenses[0];
    const Facts::Lens& left = *facts.lenses[1];
    if (condition.quantity == Quantity::difference_prism_vertical) return between_vertical_prisms(facts);
    if (condition.quantity == Quantity::difference_addition)
        return condition.measured ? apart(right.measured_addition, left.measured_addition)
                                  : apart(right.label_addition, left.label_addition);
    const optics::Power& one = condition.measured ? right.measured : right.label;
    const optics::Power& other = condition.measured ? left.measured : left.label;
    if (condition.quantity == Quantity::imbalance_at_reading)
        return std::abs(optics::vertical_imbalance(one, other, facts.reading_depth_mm));
    return difference(condition.quantity, one, other);
}

Finding compare(const Condition& condition, std::optional<double> value) {
    if (!value) return {Truth::unknown, &condition, std::nullopt, std::nullopt};
    return {truth(fits(*value, condition.bound, condition.limit)), &condition, value, std::nullopt};
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

Finding compare(const Condition& condition, std::optional<std::string_view> value) {
    if (!value) return {Truth::unknown, &condition, std::nullopt, std::nullopt};
    const bool has_it =
        std::find(condition.values.begin(), condition.values.end(), *value) != condition.values.end();
    return {truth(has_it), &condition, std::nullopt, value};
}

Finding look_for_mark(const Condition& condition, const Facts& facts) {
    std::optional<std::string_view> value;
    const record::Marks& marks = facts.pair->marks;
    if (const auto given = marks.find(condition.mark); given != marks.end()) {
        value = given->second;
    } else if (condition.granted) {
        value = *condition.granted;
    } else if (facts.looked_over && condition.in_order) {
        value = *condition.in_order;
    }
    return compare(condition, value);
}

Finding look_for_state(const Condition& condition, const Facts& facts) {
    const std::string_view value = state_of(*facts.pair, condition.mark);
    return compare(condition, value.empty() ? std::nullopt : std::optional(value));
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
        case Condition::Kind::state:
            return look_for_state(condition, facts);
        case Condition::Kind::all:
            return join(condition, facts, Truth::no);
        case Condition::Kind::any:
            return join(condition, facts, Truth::yes);
        default:
            return negate(evaluate(condition.parts.front(), facts));
    }
}

namespace {

/// What is known of an addition where the instrument reports none. A lens that is marked as a segment or
/// progressive, or whose power was seen to vary, has one, whatever else is taken for granted.
std::optional<optics::Dioptre> unreported_addition(const record::Pair& pair, const Rules& rules) {
    const auto given = pair.marks.find("lens_type");
    const auto granted = rules.granted_marks.find("lens_type");
    const std::string type = given != pair.marks.end()              ? given->second
                             : granted != rules.granted_marks.end() ? granted->second
                                                                    : std::string();
    if (pair.power_varies || (!type.empty() && type != "single")) return std::nullopt;
    if (type == "single") return optics::Dioptre();
    return rules.granted_addition;
}

}  // namespace

Facts facts_of(const record::Pair& pair, const Rules& rules) {
    Facts facts;
    for (const record::Eye eye : {record::Eye::right, record::Eye::left}) {
        const std::optional<record::MeasuredLens>& lens = pair.lens(eye);
        if (!lens) continue;
        Facts::Lens& known = facts.lenses[eye == record::Eye::right ? 0 : 1].emplace();
        known.measured = optics::to_minus_cylinder(lens->reading.power);
        known.label = optics::on_label(known.measured);
        const std::optional<optics::Dioptre> addition =
            lens->reading.addition ? lens->reading.addition : unreported_addition(pair, rules);
        if (addition) {
            known.measured_addition = addition->value();
            known.label_addition = optics::on_label({*addition, {}, 0}).sphere.value();
        }
        known.prism = lens->reading.prism;
        if (!known.prism && rules.no_prism_is_granted) known.prism = record::Prism{};
    }
    facts.centres_mm = pair.centres_mm;
    facts.one_table = pair.has_both() && pair.right->one_table && pair.left->one_table;
    facts.no_prism_is_granted = rules.no_prism_is_granted;
    facts.reading_depth_mm = rules.reading_depth_mm;
    facts.pair = &pair;
    facts.looked_over = pair.looked_over || rules.looked_over_is_granted;
    return facts;
}

}  // namespace pairmark::grading
