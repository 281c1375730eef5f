#include "host/bench/config.hpp"

#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

namespace pairmark::bench {
namespace {

using nlohmann::json;

/// Takes members out of an object, one by one, and remembers every mistake on the way.
class Members {
  public:
    Members(const json& object, std::string place, std::string& mistakes)
        : object_(object), place_(std::move(place)), mistakes_(mistakes) {
        if (!object.is_object()) mistake("", "an object { ... }");
    }
    ~Members() { name_strangers(); }
    Members(const Members&) = delete;
    Members& operator=(const Members&) = delete;

    const json* take(const char* name) {
        known_.insert(name);
        if (!object_.is_object()) return nullptr;
        const auto it = object_.find(name);
        return it == object_.end() ? nullptr : &*it;
    }

    void text(const char* name, std::string& into, std::size_t most) {
        const json* value = take(name);
        if (value == nullptr) return;
        if (!value->is_string() || value->get_ref<const std::string&>().empty() ||
            value->get_ref<const std::string&>().size() > most)
            return mistake(name, "text of 1 to " + std::to_string(most) + " bytes");
        into = value->get<std::string>();
    }

    template <typename Number>
    void whole(const char* name, Number& into, int least, int most) {
        const json* value = take(name);
        if (value == nullptr) return;
        if (!value->is_number_integer() || value->get<std::int64_t>() < least ||
            value->get<std::int64_t>() > most)
            return mistake(name,
                           "a whole number from " + std::to_string(least) + " to " + std::to_string(most));
        into = Number(value->get<int>());
    }

    void mistake(const std::string& name, const std::string& expected) {
        mistakes_ += "\n  at " + place_ + (name.empty() ? "" : "/" + name) + ": expected " + expected;
    }

  private:
    void name_strangers() {
        if (!object_.is_object()) return;
        for (const auto& [name, value] : object_.items()) {
            if (known_.contains(name)) continue;
            std::string words;
            for (const std::string& word : known_)
                words += (words.empty() ? "" : ", ") + word;
            mistake(name, "one of these names here: " + words);
        }
    }

    const json& object_;
    std::string place_;
    std::string& mistakes_;
    std::set<std::string> known_;
};

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
        if (const json* boxes = top.take("boxes")) {
            Members members(*boxes, "/boxes", mistakes);
            members.text("name", config.boxes.name, 12);
            members.whole("slots", config.boxes.slots, 1, 1000);
        }
    }
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
                {"looked_over", config.looked_over_earlier ? "earlier" : "key"}}
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
    }
    if (!mistakes.empty()) throw BadConfig("the settings text has mistakes:" + mistakes);
    return settings;
}

std::string place_of(const Boxes& boxes, std::int64_t nth) {
    const std::int64_t box = (nth - 1) / boxes.slots + 1;
    const std::string slot = std::to_string((nth - 1) % boxes.slots + 1);
    return boxes.name + " " + std::to_string(box) + "-" + (slot.size() < 2 ? "0" + slot : slot);
}

}  // namespace pairmark::bench
