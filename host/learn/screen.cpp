#include "host/learn/screen.hpp"

#include <cstdlib>

#include "host/learn/profile_json.hpp"

namespace pairmark::learn {

using Json = nlohmann::ordered_json;

namespace {

void find_three_decimals(const Json& items, std::set<std::string>& quantities) {
    if (items.is_object() && items.contains("number") && items.value("decimals", 0) == 3)
        quantities.insert(items["number"].get<std::string>());
    if (!items.is_structured()) return;
    for (const Json& item : items)
        find_three_decimals(item, quantities);
}

Json eye_json(protocol::EyeCode eye) {
    if (eye == protocol::EyeCode::none) return nullptr;
    return eye == protocol::EyeCode::right ? "right" : "left";
}

Json base(int hundredths, const char* plus, const char* minus) {
    if (hundredths == 0) return nullptr;
    return hundredths > 0 ? plus : minus;
}

double in_hundredths(int value) {
    return value / 100.0;
}

}  // namespace

Screen::Screen(std::span<const std::uint8_t> compact) {
    const Json profile = profile_to_json(compact);
    if (profile.at("step") != "eighth") return;  // else the third decimal is always 0
    for (const Json& shape : profile.at("shapes"))
        find_three_decimals(shape.at("items"), whole_eighths_);
}

double Screen::power(int hundredths, const char* quantity) const {
    // The compact form keeps .125 as .12 (SPEC.md): the half that is missing has the number's own sign.
    const int rest = std::abs(hundredths) % 25;
    const bool is_cut = rest == 12 && whole_eighths_.contains(quantity);
    if (!is_cut) return in_hundredths(hundredths);
    return (hundredths * 10 + (hundredths < 0 ? -5 : 5)) / 1000.0;
}

Json Screen::lens(const protocol::LensFields& fields) const {
    Json json{{"eye", eye_json(fields.eye)},
              {"sphere", power(fields.sphere, "sphere")},
              {"cylinder", power(fields.cylinder, "cylinder")},
              {"axis", fields.axis}};
    if (fields.has_addition) json["add"] = power(fields.addition, "addition");
    if (fields.has_prism) {
        json["prism"] = {{"horizontal", in_hundredths(std::abs(fields.horizontal_prism))},
                         {"horizontal_base", base(fields.horizontal_prism, "in", "out")},
                         {"vertical", in_hundredths(std::abs(fields.vertical_prism))},
                         {"vertical_base", base(fields.vertical_prism, "up", "down")}};
    }
    return json;
}

Json Screen::answer(const protocol::Decoded& said, std::size_t size) const {
    if (said.outcome == protocol::Decoded::Outcome::refused)
        return {{"refused", std::string(said.why) + " (at byte " + std::to_string(said.at) + " of " +
                                std::to_string(size) + ")"}};
    Json readings = Json::array();
    if (said.outcome == protocol::Decoded::Outcome::reading) {
        for (std::uint8_t i = 0; i < said.lens_count; ++i) {
            Json one = lens(said.lens[i]);
            if (said.has_centres) one["centres"] = said.centres / 10.0;
            readings.push_back(std::move(one));
        }
    }
    return {{"readings", std::move(readings)}};
}

}  // namespace pairmark::learn
