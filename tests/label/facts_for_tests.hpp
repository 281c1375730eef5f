// Facts of labels, to be spoilt by tests.
#pragma once

#include <string>

#include "host/label/number.hpp"
#include "host/record/label.hpp"

namespace pairmark::label_tests {

inline optics::Dioptre hundredths(int n) {
    return optics::Dioptre::hundredths(n);
}

/// Sphere and cylinder in hundredths.
inline optics::Power lens(int sphere, int cylinder = 0, int axis = 0) {
    return {hundredths(sphere), hundredths(cylinder), static_cast<double>(axis)};
}

inline record::LabelFacts facts_of(const optics::Power& right, const optics::Power& left) {
    record::LabelFacts facts;
    facts.number = label::print_number({"K7", "A", 42});
    facts.date = "2026-11-24";
    facts.place = "BOX 12";
    facts.programme = "Hillside spectacles";
    facts.right = right;
    facts.left = left;
    facts.right_equivalent = right.sphere.value() + right.cylinder.value() / 2;
    facts.left_equivalent = left.sphere.value() + left.cylinder.value() / 2;
    facts.centres_mm = 62.0;
    return facts;
}

inline record::LabelFacts usual_facts() {
    return facts_of(lens(-125, -50, 85), lens(200));
}

/// The label with most on it that must still fit.
inline record::LabelFacts fullest_facts() {
    record::LabelFacts facts = facts_of(lens(-1550, -1050, 85), lens(-2000, -1225, 180));
    facts.number = label::print_number({"K7AB", "ABC", 12345});
    facts.place = "CABINET 4 ROW 12";
    facts.right_addition = hundredths(300);
    facts.left_addition = hundredths(325);
    facts.addition_kind = "progressive";
    facts.centres_mm = 102.5;
    facts.typed = true;
    facts.copy = 12;
    return facts;
}

}  // namespace pairmark::label_tests
