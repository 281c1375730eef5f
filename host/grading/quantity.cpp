#include "host/grading/quantity.hpp"

#include <array>
#include <cmath>

#include "host/optics/compare.hpp"

namespace pairmark::grading {

namespace {

constexpr std::array<QuantityWord, 16> words{{
    {Quantity::cylinder, "cylinder", true, 0, 20, true, "D", "strength of the cylinder, without sign"},
    {Quantity::largest_meridian, "largest_meridian", true, -40, 40, true, "D", "the most plus meridian"},
    {Quantity::smallest_meridian, "smallest_meridian", true, -40, 40, true, "D", "the most minus meridian"},
    {Quantity::strongest_power, "strongest_power", true, 0, 40, true, "D",
     "the strongest meridian, without sign; 0 is a lens without power"},
    {Quantity::spherical_equivalent, "spherical_equivalent", true, -40, 40, true, "D",
     "sphere and half the cylinder"},
    {Quantity::addition, "addition", true, 0, 10, true, "D", "addition for near"},
    {Quantity::prism_horizontal, "prism_horizontal", true, 0, 20, false, "cm/m",
     "prism with its base in or out, without sign"},
    {Quantity::prism_vertical, "prism_vertical", true, 0, 20, false, "cm/m",
     "prism with its base up or down, without sign"},
    {Quantity::difference_any_meridian, "difference_any_meridian", false, 0, 60, true, "D",
     "largest difference of the lenses in any meridian"},
    {Quantity::difference_spherical_equivalent, "difference_spherical_equivalent", false, 0, 60, true, "D",
     "difference of the spherical equivalents"},
    {Quantity::difference_vertical, "difference_vertical", false, 0, 60, true, "D",
     "difference in the vertical meridian"},
    {Quantity::difference_sphere, "difference_sphere", false, 0, 60, true, "D",
     "difference of the spheres in minus cylinder; would be another in plus cylinder"},
    {Quantity::difference_prism_vertical, "difference_prism_vertical", false, 0, 40, false, "cm/m",
     "difference of the vertical prisms, both lenses measured on one table"},
    {Quantity::imbalance_at_reading, "imbalance_at_reading", false, 0, 120, true, "cm/m",
     "difference of the vertical prisms that the powers make at the reading depth"},
    {Quantity::difference_addition, "difference_addition", false, 0, 10, true, "D",
     "difference of the two lenses' additions"},
    {Quantity::centre_distance, "centre_distance", false, 10, 120, false, "mm",
     "distance between the optical centres"},
}};

}  // namespace

std::span<const QuantityWord> quantity_words() {
    return words;
}

const QuantityWord& word_of(Quantity quantity) {
    return words[static_cast<std::size_t>(quantity)];
}

const QuantityWord* find_quantity(std::string_view name) {
    for (const QuantityWord& word : words) {
        if (word.name == name) return &word;
    }
    return nullptr;
}

double quantity_of_lens(Quantity quantity, const optics::Power& lens) {
    switch (quantity) {
        case Quantity::cylinder:
            return std::abs(lens.cylinder.value());
        case Quantity::largest_meridian:
            return optics::largest_meridian(lens).value();
        case Quantity::smallest_meridian:
            return optics::smallest_meridian(lens).value();
        case Quantity::strongest_power:
            return optics::strongest_power(lens).value();
        default:
            return optics::spherical_equivalent(lens);
    }
}

double difference(Quantity quantity, const optics::Power& right, const optics::Power& left) {
    switch (quantity) {
        case Quantity::difference_any_meridian:
            return optics::difference_in_any_meridian(right, left);
        case Quantity::difference_vertical:
            return optics::vertical_difference(right, left);
        case Quantity::difference_sphere:
            return optics::difference_of_spheres(right, left).value();
        default:
            return optics::difference_of_equivalents(right, left);
    }
}

}  // namespace pairmark::grading
