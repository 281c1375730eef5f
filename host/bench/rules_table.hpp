// What rules say of typical pairs: where each verdict begins and ends. Pure.
#pragma once

#include <string>
#include <vector>

#include "host/grading/rules.hpp"

namespace pairmark::bench {

/// Neighbours of one series that get the same verdict, for the same reason.
struct RulesRow {
    std::string series;  // what all its pairs have in common, and what changes
    std::string from;  // the changing value: a number with two decimals and an ASCII minus, or a mark's word
    std::string to;
    record::Decision verdict = record::Decision::keep;
    std::string tray;
    std::string rule;  // that decided, the first of the strongest; empty: none says anything
};

/// Typical pairs (grading::typical_pair) in series: spheres, cylinders, differences between the lenses and
/// additions in steps of 0.25 D, and every value of the marks that these rules use. Judged as at the bench.
std::vector<RulesRow> rules_table(const grading::Rules& rules);

/// In columns, a heading a series.
std::string text_of(const std::vector<RulesRow>& rows);

/// RFC 4180, with a heading line; no cell can be taken for a formula.
std::string csv_of(const std::vector<RulesRow>& rows);

}  // namespace pairmark::bench
