// JSON form of pairs and verdicts: written for the store and the screen. Only their events are ever read
// back.
#include <charconv>
#include <cmath>

#include "host/record/json.hpp"
#include "host/record/words.hpp"

namespace pairmark::record {
namespace {

using nlohmann::json;

json to_json_or_null(const std::optional<MeasuredLens>& lens) {
    if (!lens) return nullptr;
    json out = to_json(lens->reading);
    out["event"] = lens->event;
    out["step"] = lens->step.value();
    out["typed"] = lens->typed;
    if (lens->one_table) out["one_table"] = true;
    if (lens->check != InstrumentCheck::due) out["instrument_check"] = word(lens->check);
    return out;
}

json list_of(const std::vector<Question>& questions) {
    json out = json::array();
    for (const Question& question : questions) {
        out.push_back({{"id", question.id}, {"say", question.say}, {"choices", question.choices}});
    }
    return out;
}

/// `text` as a JSON number where it is one, else as it stands.
json number_or_text(const std::string& text) {
    const char* first = text.data() + (text.starts_with('+') ? 1 : 0);
    const char* last = text.data() + text.size();
    double value = 0;
    const auto [end, fault] = std::from_chars(first, last, value);
    if (fault != std::errc() || end != last || !std::isfinite(value)) return text;
    return value == 0 ? 0.0 : value;  // never -0.0
}

json to_json_or_null(const std::optional<std::string>& value, bool is_number) {
    if (!value) return nullptr;
    return is_number ? number_or_text(*value) : json(*value);
}

}  // namespace

json to_json(const Pair& pair) {
    json out{{"id", pair.id},
             {"state", word(pair.state)},
             {"right", to_json_or_null(pair.right)},
             {"left", to_json_or_null(pair.left)},
             {"marks", pair.marks},
             {"questions", list_of(pair.questions)},
             {"looked_over", pair.looked_over},
             {"late", pair.late},
             {"labels_made", pair.labels_made}};
    if (pair.power_varies) out["power_varies"] = true;
    out["centres"] = pair.centres_mm ? json(*pair.centres_mm) : json(nullptr);
    out["turned_down_because"] = pair.turned_down_because ? json(*pair.turned_down_because) : json(nullptr);
    return out;
}

json to_json(const Verdict& verdict) {
    json reasons = json::array();
    for (const Reason& reason : verdict.reasons) {
        reasons.push_back({{"rule", reason.rule},
                           {"say", reason.say},
                           {"decision", word(reason.decision)},
                           {"value", to_json_or_null(reason.value, reason.value_is_number)},
                           {"limit", to_json_or_null(reason.limit, reason.value_is_number)}});
    }
    return {{"verdict", word(verdict.decision)},
            {"tray", verdict.tray},
            {"right", to_json(verdict.right)},
            {"left", to_json(verdict.left)},
            {"reasons", std::move(reasons)}};
}

}  // namespace pairmark::record
