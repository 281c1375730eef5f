// The quantities that a rule may put a limit to. docs/rules.md lists the same; a test compares them.
#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "host/optics/power.hpp"

namespace pairmark::grading {

enum class Quantity {
    cylinder,  // strength, without sign
    largest_meridian,
    smallest_meridian,
    strongest_power,
    spherical_equivalent,
    addition,
    prism_horizontal,  // without sign
    prism_vertical,
    difference_any_meridian,
    difference_spherical_equivalent,
    difference_vertical,
    difference_sphere,
    difference_prism_vertical,
    imbalance_at_reading,
    difference_addition,
    centre_distance,
};

struct QuantityWord {
    Quantity quantity;
    std::string_view name;
    bool of_one_lens;  // else of the pair, and "lens" has no meaning
    double least;      // a limit outside these could never be meant
    double most;
    bool as_on_label;  // the label's value is a rounded one, so "measured" has a meaning
    std::string_view unit;
    std::string_view what;  // for people
};

std::span<const QuantityWord> quantity_words();
const QuantityWord& word_of(Quantity quantity);
const QuantityWord* find_quantity(std::string_view name);

/// Of one lens in minus cylinder; any quantity of the power. D.
double quantity_of_lens(Quantity quantity, const optics::Power& lens);

/// Of two lenses; any difference of the powers. D, never below 0.
double difference(Quantity quantity, const optics::Power& right, const optics::Power& left);

}  // namespace pairmark::grading
