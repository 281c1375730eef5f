#include <algorithm>
#include <array>
#include <set>

#include "host/grading/nearest_word.hpp"
#include "host/grading/reader.hpp"
#include "host/grading/rules.hpp"
#include "host/record/words.hpp"

namespace pairmark::grading {

namespace {

constexpr std::size_t longest_rules = 256 * 1024;
constexpr std::size_t most_rules = 500;
constexpr std::array<std::string_view, 3> verdicts{"keep", "discard", "ask"};
constexpr double strongest_addition = 10;  // D
constexpr double least_reading_depth = 1;  // mm
constexpr double most_reading_depth = 20;

std::string all_lines(const std::vector<Mistake>& mistakes) {
    std::string text = mistakes.size() == 1 ? "the rules have a mistake" : "the rules have mistakes";
    for (const Mistake& mistake : mistakes) {
        text += "\n  " + mistake.place + ": " + mistake.say;
    }
    return text;
}

std::string line_and_column(std::string_view text, std::size_t at) {
    const std::string_view before = text.substr(0, std::min(at, text.size()));
    const auto line = 1 + std::count(before.begin(), before.end(), '\n');
    const std::size_t start = before.rfind('\n');
    const std::size_t column = start == std::string_view::npos ? before.size() : before.size() - start - 1;
    return "line " + std::to_string(line) + ", column " + std::to_string(std::max<std::size_t>(1, column));
}

[[noreturn]] void refuse(std::string place, std::string say) {
    std::vector<Mistake> mistakes;
    mistakes.push_back({std::move(place), std::move(say)});
    throw BadRules(std::move(mistakes));
}

/// JSON itself lets a member stand twice, and most readers silently take the last: here it is a mistake.
Json parse_json(std::string_view text, std::vector<Mistake>& mistakes) {
    std::vector<std::set<std::string>> open;
    const auto watch = [&](int /*depth*/, Json::parse_event_t event, Json& parsed) {
        if (event == Json::parse_event_t::object_start) open.emplace_back();
        if (event == Json::parse_event_t::object_end) open.pop_back();
        if (event == Json::parse_event_t::key && !open.empty()) {
            const auto& name = parsed.get_ref<const std::string&>();
            if (!open.back().insert(name).second) {
                mistakes.push_back({record::in_quotes(name), "stands twice in one object; expected once"});
            }
        }
        return true;
    };
    try {
        return Json::parse(text.begin(), text.end(), watch);
    } catch (const Json::parse_error& error) {
        refuse(line_and_column(text, error.byte),
               "the text is not JSON from here; a comma, a quotation mark or a bracket may be missing or too "
               "many");
    } catch (const Json::exception&) {
        refuse("the whole text", "a number in it is too large for JSON");
    }
}

void read_trays(const ObjectReader& top, Rules& rules, std::vector<Mistake>& mistakes) {
    const Json* json = top.member("trays");
    if (json == nullptr) return;
    const ObjectReader trays(*json, "trays", {"keep", "discard", "ask"}, mistakes);
    rules.trays.keep = trays.text("keep").value_or(rules.trays.keep);
    rules.trays.discard = trays.text("discard").value_or(rules.trays.discard);
    rules.trays.ask = trays.text("ask").value_or(rules.trays.ask);
}

void read_granted_addition(const Json& value, const std::string& place, Rules& rules,
                           std::vector<Mistake>& mistakes) {
    const double addition = value.is_number() ? value.get<double>() : -1;
    if (addition >= 0 && addition <= strongest_addition) {
        rules.granted_addition = optics::Dioptre::nearest(addition);
    } else {
        mistakes.push_back({place, "expected a number from 0 to 10 (D), not " + shown(value)});
    }
}

void read_reading_depth(const ObjectReader& top, Rules& rules, std::vector<Mistake>& mistakes) {
    const Json* json = top.member("reading_depth");
    if (json == nullptr) return;
    const double depth = json->is_number() ? json->get<double>() : -1;
    if (depth >= least_reading_depth && depth <= most_reading_depth) {
        rules.reading_depth_mm = depth;
    } else {
        mistakes.push_back(
            {"reading_depth",
             "expected a number from 1 to 20 (mm below the optical centres), not " + shown(*json)});
    }
}

/// Zero, the only prism that can be taken for granted.
void read_granted_prism(const Json& value, const std::string& place, Rules& rules,
                        std::vector<Mistake>& mistakes) {
    rules.no_prism_is_granted = value.is_number() && value.get<double>() == 0;
    if (!rules.no_prism_is_granted) mistakes.push_back({place, "expected 0 (cm/m), not " + shown(value)});
}

void read_granted(const ObjectReader& top, Rules& rules, std::vector<Mistake>& mistakes) {
    const Json* json = top.member("take_for_granted");
    if (json == nullptr) return;
    const std::string place = "take_for_granted";
    if (!json->is_object()) {
        mistakes.push_back({place, "expected an object, as in {\"looked_over\": true}, not " + shown(*json)});
        return;
    }
    std::vector<std::string_view> names{"looked_over", "addition", "prism"};
    for (const record::MarkWord& mark : record::mark_vocabulary()) {
        names.push_back(mark.name);
    }
    for (const auto& [name, value] : json->items()) {
        const std::string here = place_in(place, name);
        if (name == "looked_over") {
            if (!value.is_boolean())
                mistakes.push_back({here, "expected true or false, not " + shown(value)});
            rules.looked_over_is_granted = value.is_boolean() && value.get<bool>();
        } else if (name == "addition") {
            read_granted_addition(value, here, rules, mistakes);
        } else if (name == "prism") {
            read_granted_prism(value, here, rules, mistakes);
        } else if (std::find(names.begin(), names.end(), name) == names.end()) {
            mistakes.push_back({place, "nothing called " + record::in_quotes(name) +
                                           " can be taken for granted, only " + one_of(names) +
                                           did_you_mean(name, names)});
        } else if (const auto text = read_text(value, here, mistakes)) {
            if (const auto fault = record::fault_in_mark(name, *text)) mistakes.push_back({here, *fault});
            rules.granted_marks[name] = *text;
        }
    }
}

bool is_centre_distance(const Condition& condition) {
    return condition.kind == Condition::Kind::negation ? is_centre_distance(condition.parts.front())
                                                       : condition.kind == Condition::Kind::quantity &&
                                                             condition.quantity == Quantity::centre_distance;
}

/// True if horizontal prism could settle the condition without the distance between the optical centres: then
/// nobody can tell an effect that the lenses were given from centres that merely stand elsewhere than the
/// wearer's eyes. `guarded`: a centre distance is asked for beside it. Under "not", "any" is what demands
/// every part.
bool hangs_on_horizontal_prism(const Condition& condition, bool negated, bool guarded) {
    switch (condition.kind) {
        case Condition::Kind::quantity:
            return condition.quantity == Quantity::prism_horizontal && !guarded;
        case Condition::Kind::negation:
            return hangs_on_horizontal_prism(condition.parts.front(), !negated, guarded);
        case Condition::Kind::all:
        case Condition::Kind::any: {
            const bool demands_every = (condition.kind == Condition::Kind::all) != negated;
            const bool now_guarded =
                guarded || (demands_every &&
                            std::any_of(condition.parts.begin(), condition.parts.end(), is_centre_distance));
            return std::any_of(condition.parts.begin(), condition.parts.end(), [&](const Condition& part) {
                return hangs_on_horizontal_prism(part, negated, now_guarded);
            });
        }
        default:
            return false;
    }
}

Rule read_rule(const Json& json, const std::string& place, std::vector<Mistake>& mistakes) {
    const ObjectReader object(json, place, {"id", "when", "verdict", "tray", "say", "question"}, mistakes);
    Rule rule;
    if (!object.is_object()) return rule;
    if (object.required("id", "a short name of this rule's own")) rule.id = object.text("id").value_or("");
    if (object.required("say", "the sentence that the volunteer sees"))
        rule.say = object.text("say").value_or("");
    if (object.required("verdict", one_of(verdicts))) {
        const std::string verdict = object.word("verdict", verdicts).value_or("ask");
        rule.verdict = verdict == "keep"      ? record::Decision::keep
                       : verdict == "discard" ? record::Decision::discard
                                              : record::Decision::ask;
    }
    rule.tray = object.text("tray").value_or("");
    rule.question = object.text("question").value_or("");
    if (const Json* when = object.required("when", "a condition")) {
        rule.when = read_condition(*when, object.place("when"), 0, mistakes);
        if (rule.verdict == record::Decision::discard && hangs_on_horizontal_prism(rule.when, false, false))
            object.note("when",
                        "horizontal prism alone cannot discard; expected \"centre_distance\" beside "
                        "\"prism_horizontal\" in one \"all\", or the verdict \"ask\"");
    }
    return rule;
}

void read_rules(const ObjectReader& top, Rules& rules, std::vector<Mistake>& mistakes) {
    // These ids are the programme's own; a rule by the same name could not be told from them.
    std::set<std::string> ids{"not-looked-over", "half-pair", "turned-down", "nothing-on-the-stop"};
    const std::size_t reserved = ids.size();
    const Json* json = top.required("rules", "a list of rules");
    if (json == nullptr) return;
    if (!json->is_array() || json->size() > most_rules) {
        top.note("rules", "expected a list of at most " + std::to_string(most_rules) + " rules");
        return;
    }
    for (std::size_t i = 0; i < json->size(); ++i) {
        const std::string place = "rules[" + std::to_string(i) + "]";
        rules.rules.push_back(read_rule((*json)[i], place, mistakes));
        const std::string& id = rules.rules.back().id;
        if (!id.empty() && !ids.insert(id).second) {
            mistakes.push_back({place + ".id", record::in_quotes(id) +
                                                   " is the id of another rule, or one of the " +
                                                   std::to_string(reserved) +
                                                   " that are set aside (not-looked-over, half-pair, "
                                                   "turned-down, nothing-on-the-stop)"});
        }
    }
}

/// Gives each mark in a condition the values that it has where nobody gave one.
void settle_marks(Condition& condition, const Rules& rules, const record::Marks& in_order) {
    if (condition.kind == Condition::Kind::mark) {
        if (const auto found = rules.granted_marks.find(condition.mark); found != rules.granted_marks.end()) {
            condition.granted = found->second;
        }
        if (const auto found = in_order.find(condition.mark); found != in_order.end())
            condition.in_order = found->second;
    }
    for (Condition& part : condition.parts) {
        settle_marks(part, rules, in_order);
    }
}

bool waits_for_looking_over(const Condition& condition) {
    return (condition.kind == Condition::Kind::mark && condition.in_order && !condition.granted) ||
           std::any_of(condition.parts.begin(), condition.parts.end(), waits_for_looking_over);
}

}  // namespace

BadRules::BadRules(std::vector<Mistake> all) : std::runtime_error(all_lines(all)), mistakes(std::move(all)) {}

bool Rules::needs_looking_over() const {
    return !looked_over_is_granted && std::any_of(rules.begin(), rules.end(), [](const Rule& rule) {
        return waits_for_looking_over(rule.when);
    });
}

Rules parse_rules(std::string_view json) {
    if (json.size() > longest_rules) {
        refuse("the whole text", "expected at most " + std::to_string(longest_rules) + " bytes, not " +
                                     std::to_string(json.size()));
    }
    std::vector<Mistake> mistakes;
    const Json parsed = parse_json(json, mistakes);
    const ObjectReader top(parsed, "",
                           {"$schema", "name", "date", "about", "take_for_granted", "reading_depth", "trays",
                            "gold_tray", "rules"},
                           mistakes);
    Rules rules;
    if (top.is_object()) {
        if (top.required("name", "the programme's name")) rules.name = top.text("name").value_or("");
        if (top.required("date", "the day of these rules, as in 2026-03-01"))
            rules.date = top.text("date").value_or("");
        if (!rules.date.empty() && !record::is_date(rules.date)) {
            top.note("date", "expected a day as in 2026-03-01, not " + record::in_quotes(rules.date));
        }
        (void)top.text("$schema");
        (void)top.text("about");
        rules.gold_tray = top.text("gold_tray");
        read_reading_depth(top, rules, mistakes);
        read_trays(top, rules, mistakes);
        read_granted(top, rules, mistakes);
        read_rules(top, rules, mistakes);
    }
    if (!mistakes.empty()) throw BadRules(std::move(mistakes));

    const record::Marks in_order = record::all_in_order();
    for (Rule& rule : rules.rules) {
        settle_marks(rule.when, rules, in_order);
    }
    rules.hash_text = std::string(json);
    return rules;
}

}  // namespace pairmark::grading
