#include "host/learn/reports.hpp"

#include <set>
#include <string>

#include "host/learn/profile_json.hpp"

namespace pairmark::learn {

namespace {

void find_numbers(const nlohmann::ordered_json& items, std::set<std::string>& numbers) {
    if (items.is_object() && items.contains("number")) numbers.insert(items["number"].get<std::string>());
    if (!items.is_structured()) return;
    for (const auto& item : items)
        find_numbers(item, numbers);
}

}  // namespace

Reports reports_of(std::string_view profile_text) {
    // By way of the compact form, so that what is looked through is known to be a profile.
    const nlohmann::ordered_json profile = profile_to_json(compact_profile(profile_text));
    std::set<std::string> numbers;
    for (const auto& shape : profile.at("shapes"))
        if (shape.at("says") == "reading") find_numbers(shape.at("items"), numbers);
    return {numbers.contains("addition"),
            numbers.contains("horizontal_prism") && numbers.contains("vertical_prism"),
            numbers.contains("centres")};
}

}  // namespace pairmark::learn
