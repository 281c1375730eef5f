#include "host/bench/label_settings.hpp"

#include <array>
#include <cmath>

#include "host/label/number.hpp"
#include "host/label/refused.hpp"
#include "host/label/render.hpp"
#include "host/optics/compare.hpp"

namespace pairmark::bench {
namespace {

using nlohmann::json;

struct Wish {
    const char* name;
    bool LabelWishes::*wanted;
};
constexpr std::array wishes{
    Wish{"frame-size", &LabelWishes::frame_size}, Wish{"wearer", &LabelWishes::wearer},
    Wish{"style", &LabelWishes::style},           Wish{"rim", &LabelWishes::rim},
    Wish{"lens-type", &LabelWishes::lens_type},
};

/// Millimetres in whole or half ones, below 1000; a negative number if `text` is something else.
double length_from(std::string_view text) {
    const std::size_t point = text.find('.');
    const std::string_view whole = text.substr(0, point);
    if (whole.empty() || whole.size() > 3 || whole.front() == '0') return -1;
    double length = 0;
    for (const char digit : whole) {
        if (digit < '0' || digit > '9') return -1;
        length = length * 10 + (digit - '0');
    }
    if (point == std::string_view::npos) return length;
    const std::string_view half = text.substr(point);
    if (half != ".5" && half != ".0") return -1;
    return half == ".5" ? length + 0.5 : length;
}

std::string length_text(double mm) {
    const auto halves = std::lround(mm * 2);
    return std::to_string(halves / 2) + (halves % 2 == 0 ? "" : ".5");
}

void read_size(Members& members, const char* name, const SizeLimits& limits,
               std::optional<record::LabelSize>& into) {
    const json* value = members.take(name);
    if (value == nullptr) return;
    if (value->is_string()) into = size_from(value->get_ref<const std::string&>(), limits);
    if (!value->is_string() || !into) members.mistake(name, limits.expected());
}

void read_dots(Members& members, int& into) {
    const json* value = members.take("dpi");
    if (value == nullptr) return;
    if (*value != 203 && *value != 300)
        return members.mistake("dpi", "203 or 300, the print head's dots an inch");
    into = value->get<int>();
}

void read_facts(Members& members, LabelWishes& into) {
    const json* value = members.take("facts");
    if (value == nullptr) return;
    std::string known;
    for (const Wish& wish : wishes)
        known += (known.empty() ? "\"" : ", \"") + std::string(wish.name) + "\"";
    if (!value->is_array()) return members.mistake("facts", "a list of some of " + known);
    for (std::size_t i = 0; i < value->size(); ++i) {
        bool found = false;
        for (const Wish& wish : wishes) {
            if ((*value)[i] != wish.name) continue;
            found = !(into.*wish.wanted);
            into.*wish.wanted = true;
        }
        if (!found) members.mistake("facts/" + std::to_string(i), "one of " + known + ", each once");
    }
}

/// Facts with digits and words as wide as they come ("cord rim" is wider than "rimless"). Two-digit spheres
/// and cylinders are wider than what passes a bench in years; the letters of the font have digits of one
/// width.
record::LabelFacts widest_facts(const TrialLabel& trial, const std::string& place, bool with_additions) {
    const LabelWishes& wanted = trial.settings.wishes;
    const optics::Power power{optics::Dioptre::hundredths(-2050), optics::Dioptre::hundredths(-1050), 85};
    record::LabelFacts facts;
    facts.number = label::print_number({trial.bench, "W", 88'888});
    facts.date = "2028-08-28";
    facts.place = place;
    facts.programme = trial.programme;
    facts.right = facts.left = power;
    facts.right_equivalent = facts.left_equivalent = optics::spherical_equivalent(power);
    facts.centres_mm = 88.5;
    facts.typed = true;
    facts.copy = 88;
    if (with_additions) {
        facts.right_addition = facts.left_addition = optics::Dioptre::hundredths(325);
        facts.addition_kind = "progressive";
        facts.addition_by = "front";
    }
    if (wanted.frame_size) facts.frame_size = "58-18-145";
    if (wanted.wearer) facts.wearer = "adult";
    if (wanted.style) facts.style = "women";
    if (wanted.rim) facts.rim = "cord";
    facts.single_vision = wanted.lens_type && !with_additions;
    facts.extra = wanted.extra;
    return facts;
}

/// Makes the widest labels there are; nullopt if all could be made.
std::optional<label::LabelRefused> refusal_of(const TrialLabel& trial) {
    try {
        for (const std::string& place : trial.places) {
            (void)label::render_document(widest_facts(trial, place, true), trial.settings.paper);
            if (trial.settings.wishes.lens_type)
                (void)label::render_document(widest_facts(trial, place, false), trial.settings.paper);
        }
        return std::nullopt;
    } catch (const label::LabelRefused& refused) {
        return refused;
    }
}

}  // namespace

std::string SizeLimits::expected() const {
    const auto size = [](double width, double height) { return text_of({width, height}); };
    return "WIDTHxHEIGHT in whole or half millimetres, as in \"60x40\", from " +
           size(least_width, least_height) + " to " + size(most_width, most_height);
}

std::optional<record::LabelSize> size_from(std::string_view text, const SizeLimits& limits) {
    const std::size_t sign = text.find('x');
    if (sign == std::string_view::npos) return std::nullopt;
    const record::LabelSize size{length_from(text.substr(0, sign)), length_from(text.substr(sign + 1))};
    if (size.width_mm < limits.least_width || size.width_mm > limits.most_width ||
        size.height_mm < limits.least_height || size.height_mm > limits.most_height)
        return std::nullopt;
    return size;
}

std::string text_of(const record::LabelSize& size) {
    return length_text(size.width_mm) + "x" + length_text(size.height_mm);
}

LabelSettings read_label_settings(const json& object, std::string& mistakes) {
    LabelSettings settings;
    Members members(object, "/label", mistakes);
    std::optional<record::LabelSize> size;
    read_size(members, "size", envelope_label, size);
    if (size) settings.paper.size = *size;
    read_dots(members, settings.paper.dots_per_inch);
    read_size(members, "spectacles", spectacles_label, settings.paper.for_spectacles);
    read_facts(members, settings.wishes);
    members.text("extra", settings.wishes.extra, 80);
    return settings;
}

json to_json(const LabelSettings& settings) {
    json out{{"size", text_of(settings.paper.size)}, {"dpi", settings.paper.dots_per_inch}};
    if (settings.paper.for_spectacles) out["spectacles"] = text_of(*settings.paper.for_spectacles);
    out["facts"] = json::array();
    for (const Wish& wish : wishes)
        if (settings.wishes.*wish.wanted) out["facts"].push_back(wish.name);
    if (!settings.wishes.extra.empty()) out["extra"] = settings.wishes.extra;
    return out;
}

std::optional<TrialFault> fault_in_trial(const TrialLabel& trial) {
    const auto refused = refusal_of(trial);
    if (!refused) return std::nullopt;
    const std::string said = std::string(", so that every label can be made (") + refused->what() + ")";
    // Place and programme share a line, and without its programme a label may well have room for both.
    TrialLabel nameless = trial;
    nameless.programme.clear();
    const bool by_programme =
        refused->where() == "programme name" || (refused->where() == "place" && !refusal_of(nameless));
    if (by_programme) return TrialFault{"/programme", "a name that fits on the label" + said};
    if (refused->where() == "place") return TrialFault{"/boxes", "shorter places" + said};
    if (refused->where() == "extra line")
        return TrialFault{"/label/extra", "a line that fits on the label" + said};
    return TrialFault{"/label", "a larger size, or fewer facts" + said};
}

}  // namespace pairmark::bench
