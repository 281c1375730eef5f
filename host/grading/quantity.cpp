#include "host/grading/quantity.hpp"

#include <array>
#include <cmath>

#include "host/optics/compare.hpp"

namespace pairmark::grading {

namespace {

constexpr std::array<QuantityWord, 11> words{{
    {Quantity::cylinder, "cylinder", true, 0, 20, "D", "strength of the cylinder, without sign"},
    {Quantity::largest_meridian, "largest_meridian", true, -40, 40, "D", "the most plus meridian"},
    {Quantity::smallest_meridian, "smallest_meridian", true, -40, 40, "D", "the most minus meridian"},
    {Quantity::strongest_power, "strongest_power", true, 0, 40, "D",
     "the strongest meridian, without sign; 0 is a lens without power"},
    {Quantity::spherical_equivalent, "spherical_equivalent", true, -40, 40, "D",
     "sphere and half the cylinder"},
    {Quantity::addition, "addition", true, 0, 10, "D", "addition for near"},
    {Quantity::difference_any_meridian, "difference_any_meridian", false, 0, 60, "D",
     "largest difference of the lenses in any meridian"},
    {Quantity::difference_spherical_equivalent, "difference_spherical_equivalent", false, 0, 60, "D",
     "difference of the spherical equivalents"},
    {Quantity::difference_vertical, "difference_vertical", false, 0, 60, "D",
     "difference in the vertical meridian"},
    {Quantity::difference_sphere, "difference_sphere", false, 0, 60, "D",
     "difference of the spheres in minus cylinder; would be another in plus cylinder"},
    {Quantity::centre_distance, "centre_distance", false, 10, 120, "mm",
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
