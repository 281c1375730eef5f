// JSON form of what was measured. A lens is flat: its power's members stand beside its eye and addition.
#include <cmath>

#include "host/record/fields.hpp"
#include "host/record/json.hpp"
#include "host/record/words.hpp"

namespace pairmark::record {
namespace {

using nlohmann::json;

constexpr std::int64_t strongest = 60;         // R3, dioptres
constexpr std::int64_t strongest_prism = 400;  // prism dioptres; all that an adapter's line can say
constexpr double narrowest_centres = 10;       // R3, mm
constexpr double widest_centres = 120;

Prism prism_from_json(const json& value, const std::string& where) {
    Fields fields(value, where);
    Prism prism;
    prism.horizontal = fields.dioptres("in", -strongest_prism, strongest_prism);
    prism.vertical = fields.dioptres("up", -strongest_prism, strongest_prism);
    fields.done();
    return prism;
}

optics::Power read_power(Fields& fields) {
    optics::Power power;
    power.sphere = fields.dioptres("sphere", -strongest, strongest);
    power.cylinder = fields.dioptres("cylinder", -strongest, strongest);
    const auto axis = fields.number_if_any("axis", 0, 180);
    if (!axis && power.cylinder != optics::Dioptre()) {
        fields.fail("axis", "a number from 0 to 180, as there is a cylinder");
    }
    power.axis = axis.value_or(0);
    return power;
}

LensReading lens_from_json(const json& value, const std::string& where) {
    Fields fields(value, where);
    LensReading lens;
    if (fields.optional("eye") != nullptr) {
        lens.eye = fields.value_of("eye", eye_from, "\"right\" or \"left\"");
    }
    lens.power = read_power(fields);
    lens.addition = fields.dioptres_if_any("addition", -strongest, strongest);
    if (const json* prism = fields.optional("prism"))
        lens.prism = prism_from_json(*prism, fields.place("prism"));
    fields.done();
    return lens;
}

json axis_to_json(const optics::Power& power) {
    const bool none = power.cylinder == optics::Dioptre() && power.axis == 0;
    if (none) return nullptr;
    // Whole degrees stand as whole numbers: 85, not 85.0.
    const double whole = std::round(power.axis);
    return whole == power.axis ? json(static_cast<std::int64_t>(whole)) : json(power.axis);
}

json addition_to_json(const std::optional<optics::Dioptre>& addition) {
    return addition ? json(addition->value()) : json(nullptr);
}

}  // namespace

json to_json(const optics::Power& power) {
    return {{"sphere", power.sphere.value()},
            {"cylinder", power.cylinder.value()},
            {"axis", axis_to_json(power)}};
}

json to_json(const LensReading& lens) {
    json out = to_json(lens.power);
    if (lens.eye) out["eye"] = word(*lens.eye);
    if (lens.addition) out["addition"] = lens.addition->value();
    if (lens.prism) {
        out["prism"] = {{"in", lens.prism->horizontal.value()}, {"up", lens.prism->vertical.value()}};
    }
    return out;
}

json to_json(const Reading& reading) {
    json lenses = json::array();
    for (const LensReading& lens : reading.lenses) {
        lenses.push_back(to_json(lens));
    }
    json out{{"lenses", std::move(lenses)}, {"step", reading.step.value()}, {"source", word(reading.source)}};
    if (reading.centres_mm) out["centres"] = *reading.centres_mm;
    if (reading.one_table) out["one_table"] = true;
    return out;
}

optics::Power power_from_json(const json& value, const std::string& where) {
    Fields fields(value, where);
    return read_power(fields);
}

Reading reading_from_json(const json& value, const std::string& where) {
    Fields fields(value, where);
    Reading reading;
    const json& lenses = fields.required("lenses");
    if (!lenses.is_array() || lenses.empty() || lenses.size() > 2)
        fields.fail("lenses", "a list of one lens or two");
    reading.lenses.reserve(lenses.size());
    for (std::size_t i = 0; i < lenses.size(); ++i) {
        reading.lenses.push_back(
            lens_from_json(lenses[i], fields.place("lenses[") + std::to_string(i) + "]"));
    }
    const bool two = reading.lenses.size() == 2;
    if (two && (reading.lenses[0].eye == Eye::left || reading.lenses[1].eye == Eye::right)) {
        fields.fail("lenses", "the right lens before the left");
    }
    reading.centres_mm = fields.number_if_any("centres", narrowest_centres, widest_centres);
    reading.step = fields.dioptres("step", 0, 1);
    if (reading.step == optics::Dioptre()) fields.fail("step", "a number above 0, 1 at most");
    reading.source = fields.value_of("source", source_from, "\"instrument\" or \"typed\"");
    reading.one_table = fields.yes_no_if_any("one_table");
    fields.done();
    return reading;
}

json to_json(const LabelFacts& facts) {
    json out{{"number", facts.number},
             {"date", facts.date},
             {"place", facts.place},
             {"programme", facts.programme},
             {"right", to_json(facts.right)},
             {"left", to_json(facts.left)},
             {"right_equivalent", facts.right_equivalent},
             {"left_equivalent", facts.left_equivalent},
             {"right_addition", addition_to_json(facts.right_addition)},
             {"left_addition", addition_to_json(facts.left_addition)},
             {"addition_kind", facts.addition_kind},
             {"typed", facts.typed},
             {"copy", facts.copy}};
    out["centres"] = facts.centres_mm ? json(*facts.centres_mm) : json(nullptr);
    // Only where there is something to say: labels without these facts keep the form that they always had.
    const auto add = [&out](const char* name, const std::string& value) {
        if (!value.empty()) out[name] = value;
    };
    add("addition_by", facts.addition_by);
    add("frame_size", facts.frame_size);
    add("wearer", facts.wearer);
    add("style", facts.style);
    add("rim", facts.rim);
    add("extra", facts.extra);
    if (facts.single_vision) out["single_vision"] = true;
    return out;
}

LabelFacts label_facts_from_json(const json& value) {
    Fields fields(value, "");
    const auto power = [&fields](const char* name) {
        Fields inner(fields.required(name), fields.place(name));
        const optics::Power read = read_power(inner);
        inner.done();
        return read;
    };
    LabelFacts facts;
    facts.number = fields.text("number");
    facts.date = fields.text("date");
    if (!is_date(facts.date)) fields.fail("date", "a date as 2026-11-24, found " + in_quotes(facts.date));
    facts.place = fields.text("place");
    facts.programme = fields.text("programme");
    facts.right = power("right");
    facts.left = power("left");
    facts.right_equivalent = fields.number("right_equivalent", -strongest, strongest);
    facts.left_equivalent = fields.number("left_equivalent", -strongest, strongest);
    facts.right_addition = fields.dioptres_if_any("right_addition", -strongest, strongest);
    facts.left_addition = fields.dioptres_if_any("left_addition", -strongest, strongest);
    facts.addition_kind = fields.text("addition_kind");
    facts.centres_mm = fields.number_if_any("centres", narrowest_centres, widest_centres);
    facts.typed = fields.yes_no("typed");
    facts.copy = static_cast<int>(fields.whole("copy", 0, 10'000));
    facts.addition_by = fields.text_if_any("addition_by");
    facts.frame_size = fields.text_if_any("frame_size");
    facts.wearer = fields.text_if_any("wearer");
    facts.style = fields.text_if_any("style");
    facts.rim = fields.text_if_any("rim");
    facts.extra = fields.text_if_any("extra");
    facts.single_vision = fields.yes_no_if_any("single_vision");
    fields.done();
    return facts;
}

}  // namespace pairmark::record
