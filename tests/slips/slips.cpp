#include "tests/slips/slips.hpp"

#include "tests/slips/instrument.hpp"

namespace pairmark::slips {

namespace {

using Pairs = std::vector<Spectacles>;

constexpr Eye right = Eye::right;
constexpr Eye left = Eye::left;

void the_others_well(BenchDay& day, const Pairs& pairs, std::size_t from = 1) {
    for (std::size_t at = from; at < pairs.size(); ++at)
        measure_well(day, pairs, at);
}

record::LensReading reading(std::optional<Eye> eye, const Power& power) {
    return {eye, power, {}, {}};
}

Power moved(const Power& lens, int sphere, int cylinder, double axis) {
    Power other{lens.sphere + Dioptre::hundredths(sphere), lens.cylinder + Dioptre::hundredths(cylinder),
                lens.axis};
    if (other.cylinder != Dioptre()) other.axis = optics::turned_into_range(lens.axis + axis);
    return other;
}

/// The key stays at "right" for one pair or for several.
void eye_key_stuck(BenchDay& day, const Pairs& pairs, Chance& chance) {
    const auto stuck = static_cast<std::size_t>(chance.between(1, 3));
    for (std::size_t at = 0; at < stuck; ++at) {
        day.take_up(at);
        day.read(right, shown(pairs[at].right));
        day.read(right, shown(pairs[at].left));
    }
    the_others_well(day, pairs, stuck);
}

/// The instrument sends both lenses at once; one of them, or both, are still those of the pair before.
void not_cleared(BenchDay& day, const Pairs& pairs, Chance& chance) {
    const int stale = chance.between(1, 3);
    for (std::size_t at = 0; at < pairs.size(); ++at) {
        day.take_up(at);
        const Spectacles& before = pairs[at == 1 ? 0 : at];
        const Spectacles& now = pairs[at];
        day.read({reading(right, shown((stale & 1) != 0 ? before.right : now.right)),
                  reading(left, shown((stale & 2) != 0 ? before.left : now.left))});
    }
}

void nothing_on_the_stop(BenchDay& day, const Pairs& pairs, Chance& chance) {
    const int empty = chance.between(1, 3);
    day.take_up(0);
    day.read(right, (empty & 1) != 0 ? Power{} : shown(pairs[0].right));
    day.read(left, (empty & 2) != 0 ? Power{} : shown(pairs[0].left));
    the_others_well(day, pairs);
}

void left_first_named(BenchDay& day, const Pairs& pairs, Chance& /*chance*/) {
    day.take_up(0);
    day.read(left, shown(pairs[0].left));
    day.read(right, shown(pairs[0].right));
    the_others_well(day, pairs);
}

void plus_cylinder(BenchDay& day, const Pairs& pairs, Chance& /*chance*/) {
    day.take_up(0);
    day.read(right, shown(pairs[0].right));
    day.read(left, optics::to_plus_cylinder(shown(pairs[0].left)));
    the_others_well(day, pairs);
}

/// Set to eighths while the profile says quarters: the adapter refuses what does not stand on the step, and a
/// pair that is refused goes to the tray of what is set aside.
void eighths_as_quarters(BenchDay& day, const Pairs& pairs, Chance& /*chance*/) {
    day.take_up(0);
    for (const Eye eye : {right, left}) {
        const auto heard = heard_in_quarters(eye, shown(pairs[0].lens(eye), Dioptre::millionths(125'000)));
        if (!heard) {
            day.refuse();
            break;
        }
        day.read({*heard});
    }
    the_others_well(day, pairs);
}

/// Set to eighths, of which it shows two digits, while the profile says hundredths: every number stands on
/// the profile's step.
void cut_eighths_as_hundredths(BenchDay& day, const Pairs& pairs, Chance& /*chance*/) {
    const auto cut = [](const Power& lens) {
        const Power eighths = shown(lens, Dioptre::millionths(125'000));
        const auto two_digits = [](Dioptre power) {
            return Dioptre::hundredths(power.in_millionths() / 10'000);
        };
        return Power{two_digits(eighths.sphere), two_digits(eighths.cylinder), eighths.axis};
    };
    const Dioptre hundredth = Dioptre::hundredths(1);
    day.take_up(0);
    day.read({reading(right, cut(pairs[0].right))}, hundredth);
    day.read({reading(left, cut(pairs[0].left))}, hundredth);
    the_others_well(day, pairs);
}

void left_first_unnamed(BenchDay& day, const Pairs& pairs, Chance& /*chance*/) {
    for (std::size_t at = 0; at < pairs.size(); ++at) {
        day.take_up(at);
        day.read(std::nullopt, shown(at == 0 ? pairs[at].left : pairs[at].right));
        day.read(std::nullopt, shown(at == 0 ? pairs[at].right : pairs[at].left));
    }
}

void exchanged(BenchDay& day, const Pairs& pairs, Chance& /*chance*/) {
    day.take_up(0);
    day.read(right, shown(pairs[0].left));
    day.read(left, shown(pairs[0].right));
    the_others_well(day, pairs);
}

/// The frame lies with its sides towards the volunteer, who takes the lens on the left for the wearer's right
/// one.
void back_to_front(BenchDay& day, const Pairs& pairs, Chance& /*chance*/) {
    day.take_up(0);
    day.read(right, shown(from_the_front(pairs[0].left)));
    day.read(left, shown(from_the_front(pairs[0].right)));
    the_others_well(day, pairs);
}

void tilted(BenchDay& day, const Pairs& pairs, Chance& chance) {
    const int turn = chance.between(5, 15) * (chance.between(0, 1) == 0 ? -1 : 1);
    day.take_up(0);
    day.read(right, shown(moved(pairs[0].right, 0, 0, turn)));
    day.read(left, shown(moved(pairs[0].left, 0, 0, turn)));
    the_others_well(day, pairs);
}

/// The right lens of one pair, then the next is taken up, and put back when its turn comes.
void two_pairs_mixed(BenchDay& day, const Pairs& pairs, Chance& /*chance*/) {
    day.take_up(0);
    day.read(right, shown(pairs[0].right));
    day.read(left, shown(pairs[1].left));
    the_others_well(day, pairs);
}

/// A progressive, both lenses read where they have gained a part of the addition.
void corridor(BenchDay& day, const Pairs& pairs, Chance& chance) {
    const auto gained = [&chance] { return chance.between(2, 6) * 25; };
    day.take_up(0);
    day.read(right, shown(moved(pairs[0].right, gained(), 0, 0)));
    day.read(left, shown(moved(pairs[0].left, gained(), 0, 0)));
    the_others_well(day, pairs);
}

/// The same, but the right lens is read a second time, above the corridor or further down in it.
void corridor_twice(BenchDay& day, const Pairs& pairs, Chance& chance) {
    const int first = chance.between(0, 1) * 150;
    day.take_up(0);
    day.read(right, shown(moved(pairs[0].right, first, 0, 0)));
    day.read(right, shown(moved(pairs[0].right, 150 - first, 0, 0)));
    day.read(left, shown(pairs[0].left));
    the_others_well(day, pairs);
}

void smear(BenchDay& day, const Pairs& pairs, Chance& chance) {
    const Eye dirty = chance.between(0, 1) == 0 ? right : left;
    day.take_up(0);
    for (const Eye eye : {right, left}) {
        const Power& lens = pairs[0].lens(eye);
        day.read(eye, shown(eye == dirty ? moved(lens, chance.between(-75, 75), -chance.between(0, 50),
                                                 chance.between(-10, 10))
                                         : lens));
    }
    the_others_well(day, pairs);
}

void wrong_envelope(BenchDay& day, const Pairs& pairs, Chance& /*chance*/) {
    the_others_well(day, pairs, 0);
    day.exchange_labels(0, 1);
}

constexpr std::array slips{
    Slip{"the eye key stuck at one eye", true, eye_key_stuck},
    Slip{"an instrument that was not cleared", true, not_cleared},
    Slip{"nothing on the stop", true, nothing_on_the_stop},
    Slip{"left before right, and the instrument names the eye", true, left_first_named},
    Slip{"plus cylinder in the middle of a pair", true, plus_cylinder},
    Slip{"a progressive read at two places", true, corridor_twice},
    Slip{"eighths where the profile says quarters", true, eighths_as_quarters},
    Slip{"cut eighths where the profile says hundredths", false, cut_eighths_as_hundredths},
    Slip{"two pairs mixed", false, two_pairs_mixed},
    Slip{"left before right, and no eye is named", false, left_first_unnamed},
    Slip{"right and left exchanged, with the eye key", false, exchanged},
    Slip{"back to front", false, back_to_front},
    Slip{"tilted by 5 to 15 degrees", false, tilted},
    Slip{"a progressive read in its corridor", false, corridor},
    Slip{"a smear", false, smear},
    Slip{"a label on the wrong envelope", false, wrong_envelope},
};

}  // namespace

std::span<const Slip> all_slips() {
    return slips;
}

void measure_well(BenchDay& day, const Pairs& pairs, std::size_t at) {
    day.take_up(at);
    day.read(right, shown(pairs[at].right));
    day.read(left, shown(pairs[at].left));
}

}  // namespace pairmark::slips
