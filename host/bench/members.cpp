#include "host/bench/members.hpp"

namespace pairmark::bench {

Members::Members(const nlohmann::json& object, std::string place, std::string& mistakes)
    : object_(object), place_(std::move(place)), mistakes_(mistakes) {
    if (!object.is_object()) mistake("", "an object { ... }");
}

const nlohmann::json* Members::take(const char* name) {
    known_.insert(name);
    if (!object_.is_object()) return nullptr;
    const auto it = object_.find(name);
    return it == object_.end() ? nullptr : &*it;
}

void Members::text(const char* name, std::string& into, std::size_t most) {
    const nlohmann::json* value = take(name);
    if (value == nullptr) return;
    if (!value->is_string() || value->get_ref<const std::string&>().empty() ||
        value->get_ref<const std::string&>().size() > most)
        return mistake(name, "text of 1 to " + std::to_string(most) + " bytes");
    into = value->get<std::string>();
}

void Members::mistake(const std::string& name, const std::string& expected) {
    mistakes_ += "\n  at " + place_ + (name.empty() ? "" : "/" + name) + ": expected " + expected;
}

void Members::name_strangers() {
    if (!object_.is_object()) return;
    for (const auto& [name, value] : object_.items()) {
        if (known_.contains(name)) continue;
        std::string words;
        for (const std::string& word : known_)
            words += (words.empty() ? "" : ", ") + word;
        mistake(name, "one of these names here: " + words);
    }
}

}  // namespace pairmark::bench
