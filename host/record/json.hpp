// The JSON form of the records. Readers of outside text get a sentence with the place of the mistake, never a
// guess.
//
// Trust: imported sessions and stored bodies are outside bytes. Invariants:
//   R1  an object with a missing, mistyped or out-of-range member is refused whole;
//   R2  writing and reading again gives an equal record;
//   R3  numbers are finite; powers within ±60 D, axis 0 to 180, centres 10 to 120 mm.
#pragma once

#include <nlohmann/json.hpp>
#include <stdexcept>
#include <string>

#include "host/record/event.hpp"
#include "host/record/label.hpp"
#include "host/record/pair.hpp"
#include "host/record/verdict.hpp"

namespace pairmark::record {

/// Text that is not what it should be. `what()` says where and what was expected.
struct BadRecord : std::runtime_error {
    using std::runtime_error::runtime_error;
};

nlohmann::json to_json(const optics::Power& power);
nlohmann::json to_json(const LensReading& lens);
nlohmann::json to_json(const Reading& reading);
nlohmann::json to_json(const Event& event);
nlohmann::json to_json(const Pair& pair);
nlohmann::json to_json(const Verdict& verdict);
nlohmann::json to_json(const LabelFacts& facts);

optics::Power power_from_json(const nlohmann::json& json, const std::string& where);
Reading reading_from_json(const nlohmann::json& json, const std::string& where);
Event event_from_json(const nlohmann::json& json);  // throws BadRecord
LabelFacts label_facts_from_json(const nlohmann::json& json);

/// The event's kind as it stands in JSON and in the store: "started", "text", "greeted", "reading", "key",
/// "act", "time-out", "numbered", "printed", "note".
std::string kind_of(const Event& event);
/// The body alone, as the store keeps it; and back.
nlohmann::json body_to_json(const EventBody& body);
EventBody body_from_json(const std::string& kind, const nlohmann::json& json);

}  // namespace pairmark::record
