// A profile as a person reads and writes it (JSON, profile.schema.json), and as the adapter keeps it (compact
// bytes).
//
// Trust: profile files are outside text. Invariants, for any text whatever:
//   P1  what is given back is a compact profile that protocol::Profile opens, or BadProfile is thrown;
//   P2  a member that is unknown, missing, mistyped or out of range is refused, never passed over;
//   P3  JSON made from compact bytes gives bytes that read every capture alike.
#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <span>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace pairmark::learn {

/// A text that is not a profile. `what()` gives the place and what was expected there, in one sentence.
struct BadProfile : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// The compact form, at most protocol::max_profile bytes. Throws BadProfile.
std::vector<std::uint8_t> compact_from_json(const nlohmann::ordered_json& json);
/// The same from the text of a profile file. Throws BadProfile.
std::vector<std::uint8_t> compact_profile(std::string_view text);

/// Whether the profile says that both lenses are measured on one table that is not moved in between. Not part
/// of the compact form: it decides nothing in the adapter. Throws BadProfile.
bool measures_on_one_table(std::string_view text);

/// The JSON form of compact bytes. Throws BadProfile if they are not a profile.
nlohmann::ordered_json profile_to_json(std::span<const std::uint8_t> compact);

}  // namespace pairmark::learn
