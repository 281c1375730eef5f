#include "host/bench/explanation.hpp"

#include <algorithm>
#include <array>
#include <cstdio>

#include "host/bench/announcer.hpp"
#include "host/bench/columns.hpp"
#include "host/grading/explain.hpp"
#include "host/grading/in_words.hpp"
#include "host/label/words.hpp"
#include "host/optics/rounding.hpp"
#include "host/optics/transpose.hpp"
#include "host/record/json.hpp"
#include "host/record/sha256.hpp"
#include "host/record/words.hpp"

namespace pairmark::bench {
namespace {

using grading::Condition;
using grading::Explained;
using nlohmann::json;
using record::Eye;
using By = Explanation::By;

/// People's own words, in whatever script; what would steer a terminal as by `escaped`.
std::string shown(const std::string& text) {
    int characters = 0;
    return record::is_utf8(text, &characters) && characters >= 0 ? text : escaped(text);
}

optics::Power on_label(const record::MeasuredLens& lens) {
    return optics::on_label(optics::to_minus_cylinder(lens.reading.power));
}

std::string said_by(const Explanation& one) {
    switch (one.by) {
        case By::decided:
            return "which decided it at event " + std::to_string(one.found.settled_by) + ", " +
                   escaped(one.found.settled_at);
        case By::in_force:
            return one.found.pair.turned_down_because ? "the newest in force; a person decided, not they"
                                                      : "the newest in force; the pair is not decided yet";
        default:
            return "named instead of those of the day: nothing on the bench follows from this";
    }
}

std::string lens_line(const record::Pair& pair, Eye eye) {
    const auto& lens = pair.lens(eye);
    std::string line = "  " + padded(std::string(record::word(eye)), 10);
    if (!lens) return line + "not measured\n";
    line += padded("measured " + label::text_of(lens->reading.power), 33) +
            padded("on the label " + label::text_of(on_label(*lens)), 37);
    line += lens->reading.addition ? "addition " + label::text_of(*lens->reading.addition)
                                   : "no addition reported";
    if (lens->reading.prism) {
        std::array<char, 64> prism{};
        (void)std::snprintf(prism.data(), prism.size(), ", prism in %.2f up %.2f",
                            lens->reading.prism->horizontal.value(), lens->reading.prism->vertical.value());
        line += prism.data();
    }
    return line + (lens->typed ? ", typed\n" : "\n");
}

std::string centres_line(const record::Pair& pair) {
    std::array<char, 32> text{};
    if (pair.centres_mm) (void)std::snprintf(text.data(), text.size(), "%.1f mm apart", *pair.centres_mm);
    return "  " + padded("centres", 10) + (pair.centres_mm ? text.data() : "not reported") + "\n";
}

std::string listed(const record::Marks& marks) {
    std::string all;
    for (const auto& [name, value] : marks)
        all += (all.empty() ? "" : ", ") + name + "=" + shown(value);
    return all;
}

std::string marks_lines(const Explanation& one) {
    const record::Pair& pair = one.found.pair;
    std::string text = "  " + padded("marks", 10) + (pair.marks.empty() ? "none given" : listed(pair.marks)) +
                       (pair.looked_over ? "; looked over\n" : "; nobody said that it is in order\n");
    std::string granted = listed(one.rules.granted_marks);
    const auto add = [&granted](const std::string& what) { granted += (granted.empty() ? "" : ", ") + what; };
    if (one.rules.looked_over_is_granted) add("looked over");
    if (one.rules.granted_addition) add("addition " + label::text_of(*one.rules.granted_addition));
    if (one.rules.no_prism_is_granted) add("no prism");
    if (!granted.empty()) text += "  " + padded("granted", 10) + granted + "\n";
    return text;
}

std::string seen(const Explained& explained) {
    const std::string words = grading::seen_in_words(explained);
    return words.empty() ? " (not known)" : " (here " + shown(words) + ")";
}

bool is_comparison(const Condition& condition) {
    return condition.kind == Condition::Kind::quantity || condition.kind == Condition::Kind::mark ||
           condition.kind == Condition::Kind::state;
}

/// The comparison that the condition is, or that it negates; null where it joins others.
const Explained* comparison_in(const Explained& one) {
    if (is_comparison(*one.condition)) return &one;
    const bool negates = one.condition->kind == Condition::Kind::negation;
    return negates && is_comparison(*one.parts.front().condition) ? &one.parts.front() : nullptr;
}

std::string heading_of(const Condition& condition) {
    switch (condition.kind) {
        case Condition::Kind::all:
            return "all of these:";
        case Condition::Kind::any:
            return "any of these:";
        default:
            return "it is not so that:";
    }
}

/// The condition in one line, its parts beneath.
std::string condition_lines(const Explained& one, std::size_t indent) {
    if (const Explained* comparison = comparison_in(one))
        return grading::in_words(*one.condition) + seen(*comparison) + "\n";
    std::string text = heading_of(*one.condition) + "\n";
    for (const Explained& part : one.parts)
        text += std::string(indent, ' ') + padded(std::string(grading::word(part.truth)), 16) +
                condition_lines(part, indent + 16);
    return text;
}

std::string rule_lines(const Explanation& one) {
    std::size_t widest = 0;
    for (const grading::Rule& rule : one.rules.rules)
        widest = std::max(widest, characters(rule.id));
    std::string text;
    for (const grading::ExplainedRule& each : grading::explain(one.rules, one.found.pair)) {
        const std::size_t indent = 2 + 16 + 9 + widest + 2;
        text += "  " + padded(std::string(grading::word(each.when.truth)), 16) +
                padded(std::string(record::word(each.rule->verdict)), 9) + padded(each.rule->id, widest + 2) +
                condition_lines(each.when, indent);
    }
    return text;
}

std::string verdict_lines(const record::Verdict& verdict) {
    std::string text =
        "verdict: " + std::string(record::word(verdict.decision)) + ", tray " + verdict.tray + "\n";
    if (verdict.reasons.empty()) text += "  no rule says anything against it\n";
    for (const record::Reason& reason : verdict.reasons) {
        text += "  " + padded(std::string(record::word(reason.decision)), 9) + shown(reason.rule) + ": " +
                shown(reason.say);
        if (reason.value && reason.limit)
            text += " (" + shown(*reason.value) + ", limit " + shown(*reason.limit) + ")";
        text += "\n";
    }
    return text;
}

json lens_json(const record::Pair& pair, Eye eye) {
    const auto& lens = pair.lens(eye);
    if (!lens) return nullptr;
    json out{{"measured", record::to_json(lens->reading.power)},
             {"label", record::to_json(on_label(*lens))},
             {"addition", nullptr},
             {"typed", lens->typed}};
    if (lens->reading.addition) out["addition"] = lens->reading.addition->value();
    return out;
}

json condition_json(const Explained& one) {
    const Condition& condition = *one.condition;
    json out{{"truth", grading::word(one.truth)}, {"words", grading::in_words(condition)}};
    if (condition.kind == Condition::Kind::quantity) {
        out["limit"] = condition.limit;
        out["seen"] = nullptr;
        if (one.value) out["seen"] = *one.value;
    } else if (condition.kind == Condition::Kind::mark || condition.kind == Condition::Kind::state) {
        out["limit"] = condition.values;
        out["seen"] = nullptr;
        if (one.word) out["seen"] = *one.word;
    } else {
        out["parts"] = json::array();
        for (const Explained& part : one.parts)
            out["parts"].push_back(condition_json(part));
    }
    return out;
}

const char* word(By by) {
    return by == By::decided ? "decided" : by == By::in_force ? "in force" : "other";
}

}  // namespace

Explanation explain_pair(FoundPair found, std::optional<grading::Rules> other) {
    Explanation one;
    one.found = std::move(found);
    if (!other) {
        one.rules = grading::parse_rules(one.found.rules_text);
        one.by = one.found.is_settled ? By::decided : By::in_force;
        one.verdict = one.found.verdict;
        return one;
    }
    one.rules = std::move(*other);
    one.by = By::other;
    // A pair that the day's rules put into the tray of questions is judged as if it lay at the bench again.
    one.verdict = one.found.is_settled ? grading::grade_at_bench(one.rules, one.found.pair)
                                       : verdict_by(one.rules, one.found.pair);
    return one;
}

std::string text_of(const Explanation& one) {
    const record::Pair& pair = one.found.pair;
    return "pair " + std::to_string(pair.id) + ", " + std::string(record::word(pair.state)) +
           (one.found.number.empty() ? "" : ", label " + escaped(one.found.number)) + "\n" +
           lens_line(pair, Eye::right) + lens_line(pair, Eye::left) + centres_line(pair) + marks_lines(one) +
           "rules \"" + one.rules.name + "\" of " + one.rules.date + ", SHA-256 " +
           record::sha256(one.rules.hash_text).substr(0, 12) + ", " + said_by(one) + "\n" + rule_lines(one) +
           verdict_lines(one.verdict);
}

json json_of(const Explanation& one) {
    const record::Pair& pair = one.found.pair;
    json rules{{"name", one.rules.name},
               {"date", one.rules.date},
               {"sha256", record::sha256(one.rules.hash_text)},
               {"by", word(one.by)}};
    if (one.by == By::decided) rules["event"] = one.found.settled_by;
    json conditions = json::array();
    for (const grading::ExplainedRule& each : grading::explain(one.rules, pair)) {
        json rule = condition_json(each.when);
        rule["rule"] = each.rule->id;
        rule["verdict"] = record::word(each.rule->verdict);
        conditions.push_back(std::move(rule));
    }
    json out{{"pair", pair.id},
             {"state", record::word(pair.state)},
             {"number", one.found.number},
             {"rules", std::move(rules)},
             {"right", lens_json(pair, Eye::right)},
             {"left", lens_json(pair, Eye::left)},
             {"centres", nullptr},
             {"marks", pair.marks},
             {"looked_over", pair.looked_over},
             {"conditions", std::move(conditions)},
             {"verdict", record::to_json(one.verdict)}};
    if (pair.centres_mm) out["centres"] = *pair.centres_mm;
    return out;
}

}  // namespace pairmark::bench
