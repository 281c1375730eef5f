#include "host/bench/config.hpp"

#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>

#include "host/bench/members.hpp"

namespace pairmark::bench {
namespace {

using nlohmann::json;

bool is_bench_code(const std::string& code) {
    if (code.empty() || code.size() > 4) return false;
    return code.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789") == std::string::npos;
}

json parse_or_refuse(const std::string& text, const char* what) {
    try {
        return json::parse(text);
    } catch (const json::parse_error& error) {
        throw BadConfig(std::string(what) + " is not JSON: " + error.what());
    }
}

void looked_over(Members& members, bool& earlier) {
    const json* value = members.take("looked_over");
    if (value == nullptr) return;
    if (*value == "earlier") {
        earlier = true;
    } else if (*value == "key") {
        earlier = false;
    } else {
        members.mistake("looked_over",
                        "\"earlier\" (done at a table before) or \"key\" (one key press a pair)");
    }
}

void path(Members& members, const char* name, const std::filesystem::path& folder,
          std::filesystem::path& into) {
    std::string text;
    members.text(name, text, 4000);
    if (!text.empty()) into = text;
    into = folder / into;
}

void optional_path(Members& members, const char* name, const std::filesystem::path& folder,
                   std::optional<std::filesystem::path>& into) {
    std::string text;
    members.text(name, text, 4000);
    if (!text.empty()) into = folder / text;
}

void filing(Members& members, std::string& mistakes, FilingPlan& into) {
    if (const json* value = members.take("filing")) {
        if (*value == "boxes") {
            into.by = FilingBy::boxes;
        } else if (*value == "power") {
            into.by = FilingBy::power;
        } else {
            members.mistake(
                "filing", "\"boxes\" (the next free slot) or \"power\" (by the right lens, then by number)");
        }
    }
    if (const json* value = members.take("boxes")) {
        Members boxes(*value, "/boxes", mistakes);
        boxes.text("name", into.boxes.name, 12);
        boxes.whole("slots", into.boxes.slots, 1, 1000);
    }
}

void label(Members& members, std::string& mistakes, LabelSettings& into) {
    if (const json* value = members.take("label")) into = read_label_settings(*value, mistakes);
}

/// The places with the most characters in a store of tens of thousands of pairs.
std::vector<std::string> longest_places(const FilingPlan& plan) {
    if (plan.by == FilingBy::power)
        return {power_band({optics::Dioptre::hundredths(-2050), {}, 0}) + " 88888"};
    constexpr std::int64_t many = 20'000;
    return {place_of(plan.boxes, (many / plan.boxes.slots + 1) * plan.boxes.slots)};
}

void try_label(const Config& config, std::string& mistakes) {
    const auto fault =
        fault_in_trial({config.label, config.programme, config.bench, longest_places(config.filing)});
    if (fault) mistakes += "\n  at " + fault->place + ": expected " + fault->expected;
}

}  // namespace

Config parse_config(const std::string& text, const std::filesystem::path& folder) {
    const json document = parse_or_refuse(text, "the configuration");
    Config config;
    std::string mistakes;
    {
        Members top(document, "", mistakes);
        top.text("programme", config.programme, 80);
        top.text("bench", config.bench, 4);
        if (!is_bench_code(config.bench)) top.mistake("bench", "1 to 4 of A-Z and 0-9");
        path(top, "database", folder, config.database);
        path(top, "labels", folder, config.labels);
        std::string port;
        top.text("port", port, 4000);
        if (!port.empty()) config.port = port;
        optional_path(top, "profile", folder, config.profile);
        optional_path(top, "rules", folder, config.rules);
        looked_over(top, config.looked_over_earlier);
        top.whole("half_pair_minutes", config.half_pair_after, 1, 120);
        top.whole("late_seconds", config.late_after, 1, 3600);
        filing(top, mistakes, config.filing);
        label(top, mistakes, config.label);
    }
    if (mistakes.empty()) try_label(config, mistakes);
    if (!mistakes.empty()) throw BadConfig("the configuration has mistakes:" + mistakes);
    return config;
}

Config load_config(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    if (!in || std::filesystem::is_directory(file))
        throw BadConfig("cannot read the configuration " + file.string() +
                        "; check its name and its permissions");
    const std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
    try {
        return parse_config(text, std::filesystem::absolute(file).parent_path());
    } catch (const BadConfig& mistake) {
        throw BadConfig(file.string() + ": " + mistake.what());
    }
}

std::string settings_text(const Config& config) {
    return json{{"programme", config.programme},
                {"looked_over", config.looked_over_earlier ? "earlier" : "key"},
                {"filing", config.filing.by == FilingBy::power ? "power" : "boxes"},
                {"boxes", {{"name", config.filing.boxes.name}, {"slots", config.filing.boxes.slots}}},
                {"label", to_json(config.label)}}
        .dump();
}

Settings parse_settings(const std::string& text) {
    const json document = parse_or_refuse(text, "the settings text");
    Settings settings;
    std::string mistakes;
    {
        Members top(document, "", mistakes);
        top.text("programme", settings.programme, 80);
        looked_over(top, settings.looked_over_earlier);
        filing(top, mistakes, settings.filing);
        label(top, mistakes, settings.label);
    }
    if (!mistakes.empty()) throw BadConfig("the settings text has mistakes:" + mistakes);
    return settings;
}

}  // namespace pairmark::bench
