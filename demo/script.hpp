// What the demo's volunteer does, act by act: from the scenario's file, or from a table of pairs.
#pragma once

#include <cstdint>
#include <istream>
#include <string>
#include <vector>

#include "demo/instrument.hpp"

namespace pairmark::demo {

struct Act {
    enum class What { say, measure, key, send_raw } what = What::say;
    std::string text;  // say: the sentence; key: go, down, undo or aside; send_raw: the bytes
    char eye = 'R';
    Lens lens;
};

struct Script {
    std::vector<Act> acts;
    std::int64_t skipped = 0;  // rows of a table without all its powers
};

/// The scenario: a line an act. "# sentence" is said; "R -1.25 -0.50 85" and "L +2.00" measure; "key down"
/// presses a key; "raw text" sends text that is no reading. Throws std::runtime_error with the line's number.
Script read_scenario(std::istream& in);

/// A CSV of pairs with the columns right_sphere, right_cylinder, right_axis, left_sphere, left_cylinder,
/// left_axis (others are ignored). Powers in dioptres, plus or minus cylinder. A row that lacks a value is
/// skipped and counted; one with a value that is no number is an error (std::runtime_error with the line's
/// number).
Script read_pairs(std::istream& in);

}  // namespace pairmark::demo
