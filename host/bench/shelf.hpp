// What is in stock and where, as a list that a person or a spreadsheet searches. Pure.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "host/record/label.hpp"
#include "host/store/rows.hpp"

namespace pairmark::bench {

/// Pairs about this spherical equivalent of the right lens, D; the ends belong to it.
struct Near {
    double equivalent = 0;
    double within = 0.5;
};

/// The labels that are valid (and near), by spherical equivalent of the right lens, then its cylinder, then
/// number; the most minus first.
std::vector<record::LabelFacts> on_shelf(const std::vector<store::StoredLabel>& labels,
                                         const std::optional<Near>& near = std::nullopt);

/// A line a pair in columns, and a last line that counts them.
std::string shelf_table(const std::vector<record::LabelFacts>& pairs);

/// RFC 4180, with a heading; powers as plain numbers ("-1.25"; an empty cell where there is none). A cell
/// that is no number and that a spreadsheet could take for a formula has a ' before it.
std::string shelf_csv(const std::vector<record::LabelFacts>& pairs);

}  // namespace pairmark::bench
