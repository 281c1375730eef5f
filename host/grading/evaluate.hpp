// Does a condition hold for a pair? Yes, no, or nobody can tell.
#pragma once

#include <array>
#include <optional>

#include "host/grading/condition.hpp"
#include "host/record/pair.hpp"

namespace pairmark::grading {

enum class Truth { no, unknown, yes };

/// What is known of a pair. Index 0 is the right lens, 1 the left. Points into the pair it was made of.
struct Facts {
    struct Lens {
        optics::Power label;     // as it stands on the label
        optics::Power measured;  // minus cylinder, unrounded
        std::optional<double> label_addition;
        std::optional<double> measured_addition;
    };
    std::array<std::optional<Lens>, 2> lenses;
    std::optional<double> centres_mm;
    const record::Marks* marks = nullptr;
    bool looked_over = false;
};

Facts facts_of(const record::Pair& pair, bool looked_over_is_granted,
               std::optional<optics::Dioptre> granted_addition);

/// `because` is the comparison that settled the answer, or the one that could not be made; null only for a
/// condition without any. `value` or `word` is what was compared, where it is known.
struct Finding {
    Truth truth = Truth::unknown;
    const Condition* because = nullptr;
    std::optional<double> value;
    const std::string* word = nullptr;  // points into the condition or the pair's marks
};

Finding evaluate(const Condition& condition, const Facts& facts);

}  // namespace pairmark::grading
