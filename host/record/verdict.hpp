// What the programme's rules say of a pair, and why.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "host/optics/power.hpp"

namespace pairmark::record {

enum class Decision { keep, discard, ask };
std::string_view word(Decision decision);  // "keep", "discard", "ask"

/// Why. `value` and `limit` are numbers in the quantity's unit, or words for a mark; both absent where
/// neither applies.
struct Reason {
    std::string rule;  // the rule's id
    std::string say;   // the sentence that the volunteer sees
    Decision decision = Decision::keep;
    std::optional<std::string> value;
    std::optional<std::string> limit;
    bool value_is_number = false;  // value and limit are decimal numbers, and stand as such in JSON
};

struct Verdict {
    Decision decision = Decision::ask;
    std::string tray;
    std::vector<Reason> reasons;  // strongest first: discard, ask, keep
    optics::Power right;          // as they stand on the label: minus cylinder, 0.25 D
    optics::Power left;
};

}  // namespace pairmark::record
