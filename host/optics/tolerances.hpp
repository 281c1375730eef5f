// What ANSI Z80.1 allows a lens to differ from its order, edition by edition, as far as its figures were
// read.
//
// Read in: for 1999 a laboratory's page (hollywoodoptical.com/surfacedLensStandards.htm), its edge of 0.37 D
// being 0.375 D cut (OLA white paper on Z80.1-2005); for 2010 the OptiCampus summary
// (opticampus.opti.vision/tools/ansi.php); for 2015 the Quick Reference Guide (docslib.org, 92180); for 2020
// only that its power tolerances are those of 2010 and 2015 (optogrid.com/?p=3454). None of them is the
// standard itself. Where an edition was not read, or leaves something undefined, there is no value.
//
// The tables judge a new lens against its order. A donated pair has no order that is known, so they say
// nothing about whether it is good.
#pragma once

#include <optional>

#include "host/optics/power.hpp"

namespace pairmark::optics {

enum class AnsiZ80 { edition_1999, edition_2010, edition_2015, edition_2020 };
enum class LensDesign { single_vision_or_multifocal, progressive };

/// In D, either way, of the meridian of highest absolute power; `meridian` is its ordered power, of either
/// sign. Parts of a millionth are left off.
std::optional<Dioptre> meridian_tolerance(AnsiZ80 edition, LensDesign design, Dioptre meridian);

/// In D, either way; `cylinder` is the ordered one, of either sign.
std::optional<Dioptre> cylinder_tolerance(AnsiZ80 edition, LensDesign design, Dioptre cylinder);

/// In degrees, either way; `cylinder` is the ordered one, of either sign. Without a cylinder there is no
/// axis, and no value; 2015 defines none below 0.12 D, where 2010 begins above 0.
std::optional<double> axis_tolerance_degrees(AnsiZ80 edition, Dioptre cylinder);

/// In D, either way. Precondition: 0 <= addition.
std::optional<Dioptre> addition_tolerance(AnsiZ80 edition, Dioptre addition);

/// An unmounted lens at its prism reference point: one of the two kept is enough.
struct PrismReferenceTolerance {
    Dioptre prism;       // prism dioptres
    double millimetres;  // of the point from where it should be, in any direction
};
std::optional<PrismReferenceTolerance> prism_reference_tolerance(AnsiZ80 edition);

/// The two mounted lenses against each other: a prism for powers to `up_to` (either sign), a distance for
/// stronger ones. Vertically the distance is between the heights of the prism reference points, horizontally
/// what their distance differs from the one ordered.
struct ImbalanceTolerance {
    Dioptre up_to;       // D
    Dioptre prism;       // prism dioptres
    double millimetres;  // mm
};
std::optional<ImbalanceTolerance> vertical_imbalance_tolerance(AnsiZ80 edition, LensDesign design);
std::optional<ImbalanceTolerance> horizontal_imbalance_tolerance(AnsiZ80 edition, LensDesign design);

/// True if `measured` differs from `ordered` by no more than `tolerance`, either way. Exact: the tolerance
/// itself is allowed.
constexpr bool is_within(Dioptre tolerance, Dioptre measured, Dioptre ordered) {
    const Dioptre off = measured - ordered;
    return -tolerance <= off && off <= tolerance;
}

}  // namespace pairmark::optics
