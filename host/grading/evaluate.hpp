// Does a condition hold for a pair? Yes, no, or nobody can tell.
#pragma once

#include <array>
#include <optional>

#include "host/grading/rules.hpp"

namespace pairmark::grading {

enum class Truth { no, unknown, yes };

/// What is known of a pair. Index 0 is the right lens, 1 the left. Points into the pair it was made of.
struct Facts {
    struct Lens {
        optics::Power label;     // as it stands on the label
        optics::Power measured;  // minus cylinder, unrounded
        std::optional<double> label_addition;
        std::optional<double> measured_addition;
        std::optional<record::Prism> prism;
    };
    std::array<std::optional<Lens>, 2> lenses;
    std::optional<double> centres_mm;
    bool one_table = false;  // both lenses were measured on one unmoved table
    bool no_prism_is_granted = false;
    double reading_depth_mm = optics::reading_depth_mm;
    const record::Pair* pair = nullptr;
    bool looked_over = false;
};

/// What is known of the pair, and what these rules take for granted.
Facts facts_of(const record::Pair& pair, const Rules& rules);

/// `because` is the comparison that settled the answer, or the one that could not be made; null only for a
/// condition without any. `value` or `word` is what was compared, where it is known.
struct Finding {
    Truth truth = Truth::unknown;
    const Condition* because = nullptr;
    std::optional<double> value;
    std::optional<std::string_view> word;  // points into the condition, the pair's marks or a table
};

Finding evaluate(const Condition& condition, const Facts& facts);

}  // namespace pairmark::grading
