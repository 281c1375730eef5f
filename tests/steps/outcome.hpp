// What a session led to, in lines that can be compared and read.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "tests/steps/bench_run.hpp"

namespace pairmark::steps {

using Lines = std::vector<std::string>;

struct Outcome {
    Lines pairs;    // each pair as the events make it, with its verdict and number
    Lines rows;     // what the store's row of each pair says, and whether that is what the events make
    Lines labels;   // each number ever given: pair, void or not, day, place, facts; each intent with its end
    Lines by_pair;  // pairs and valid labels again, each label under its pair and without number and place
    Lines files;    // the labels that are there: names and hashes of the bytes
    // What is wrong in itself: damaged pages, an event that is missing, a stray file, a number given twice, a
    // label that is printed and not there.
    Lines faults;
    friend bool operator==(const Outcome&, const Outcome&) = default;
};

/// Of the stopped bench in `folder` (see bench_run.hpp). `events`: how many the adapter had.
Outcome outcome_of(const std::filesystem::path& folder, std::size_t events, WayOut way_out = WayOut::folder);

/// Labels in doubt wait for a person, who was told of each: they are made printed here, whether they are
/// there or not. False if there are none; one of which nobody was told stays as it is.
bool resolve_doubts(Outcome& outcome, const Lines& said);

/// A label that was in doubt, of which people were told, and whose number was taken back before anybody
/// looked: it never goes out any more, so its sheet may be among those expected and not here.
void take_void_doubts_as_printed(Outcome& found, const Outcome& expected, const Lines& said);

/// The first difference, for people; empty if there is none. Rows are looked at by the second alone.
std::string difference(const Outcome& expected, const Outcome& found);
/// The same where labels may have been made later than they were expected: with the numbers of others, and
/// not at all if the pair was taken back meanwhile.
std::string difference_by_pair(const Outcome& expected, const Outcome& found);
std::string difference_of_rows(const Outcome& expected, const Outcome& found);

/// Numbers, states and places only: what stays the same when a label's looks or a sentence change.
Lines summary(const Outcome& outcome);

}  // namespace pairmark::steps
