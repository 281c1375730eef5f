// What stands on the sheet of criteria that hangs on the wall.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "host/record/verdict.hpp"

namespace pairmark::record {

/// One rule.
struct Criterion {
    std::string id;  // for errors; it does not stand on the sheet
    Decision verdict = Decision::keep;
    std::string say;   // its own sentence
    std::string when;  // its condition in words, with the limits
    std::string tray;
};

/// Drawing reads this and nothing else.
struct Criteria {
    std::string programme;
    std::string rules_name;
    std::string rules_date;             // YYYY-MM-DD
    std::string rules_hash;             // SHA-256 of their text, 64 hex digits
    bool looked_over_at_bench = false;  // by a key press a pair; else at an earlier table
    std::string keep_tray;
    std::string discard_tray;
    std::string ask_tray;
    std::optional<std::string> gold_tray;
    std::vector<Criterion> rules;
    std::vector<std::string> marks;  // names of those that these rules use, in the vocabulary's order
};

}  // namespace pairmark::record
