// The label sizes that tests go through, and the most that a label of each size must be able to say.
#pragma once

#include <vector>

#include "tests/label/facts_for_tests.hpp"

namespace pairmark::label_tests {

inline std::vector<record::LabelSize> usual_sizes() {
    return {{40, 20}, {40, 30}, {40, 40}, {40, 60}, {50, 25},  {50, 30},  {60, 20},  {60, 30},
            {60, 40}, {70, 50}, {80, 50}, {80, 60}, {100, 20}, {100, 30}, {100, 50}, {100, 60}};
}

/// Every fact that docs/label.md promises room for in this size.
inline record::LabelFacts fullest_facts_for(const record::LabelSize& size) {
    record::LabelFacts facts = fullest_facts();
    facts.addition_by = "front";
    if (size.width_mm >= 60 && size.height_mm >= 40) {
        facts.frame_size = "52-18-140";
        facts.wearer = "adult";
        facts.style = "women";
        facts.rim = "cord";
        facts.extra = "Ask for Ελένη or Жанна";
    }
    return facts;
}

}  // namespace pairmark::label_tests
