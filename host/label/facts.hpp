// What must hold of the facts before a label says them.
#pragma once

#include "host/record/label.hpp"

namespace pairmark::label {

/// Throws LabelRefused unless
///   F1  both powers are in minus cylinder form and whole quarter dioptres, spheres and cylinders within ±60
///   D; the axis
///       is a whole degree from 1 to 180 with a cylinder, 0 without;
///   F2  the spherical equivalents are those of these powers;
///   F3  additions stand for both eyes, with their kind ("segment" or "progressive"), or for neither, without
///   a kind;
///       each is a whole quarter dioptre from 0.25 to 8.00 D; how they were measured is "front", "back" or
///       not said;
///   F4  the centre distance, if known, is 10 to 120 mm;
///   F5  the number's check character is right, the date is a day of the calendar, YYYY-MM-DD;
///   F6  the place is not empty; place, programme and extra line are UTF-8, without blanks at either end, all
///   in
///       the label's font;
///   F7  copy is 0 to 99;
///   F8  the frame's facts are words of the marks (record/mark.hpp), or empty; single vision has no addition.
/// A number that is not finite breaks one of these.
void check_facts(const record::LabelFacts& facts);

}  // namespace pairmark::label
