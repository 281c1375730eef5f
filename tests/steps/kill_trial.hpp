// A logged session lived through with the process killed, or the power cut, at steps that are chosen.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "tests/steps/bench_run.hpp"
#include "tests/steps/outcome.hpp"

namespace pairmark::steps {

/// The session without any blow: what all others are compared with.
struct Undisturbed {
    std::uint64_t steps = 0;
    Outcome outcome;
    Lines history;
    Lines faults;
};
Undisturbed undisturbed(const LoggedSession& session, Wrong wrong = Wrong::none,
                        WayOut way_out = WayOut::folder);

/// One life after another, each ended by the next blow; then one that goes through to the end.
using Blows = std::vector<Blow>;
std::string id_of(const Blows& blows);                 // "137a,12h"
std::optional<Blows> blows_of(const std::string& id);  // nullopt: it is none

/// What was not as it should be; empty: nothing. On paper a label may end in doubt, if people are told.
/// `rows` receives the same of the pairs' rows in the store, which can be made again from the events.
std::string try_blows(const LoggedSession& session, const Undisturbed& expected, const Blows& blows,
                      Wrong wrong = Wrong::none, WayOut way_out = WayOut::folder,
                      std::string* rows = nullptr);

/// Every step in every way of dying.
std::vector<Blows> all_blows(std::uint64_t steps);
/// Every kind of step (the same call on the same file, or on any label's) in every way, each `picks` times at
/// places spread over the session. By what undisturbed() tells of the steps.
std::vector<Blows> blows_of_each_kind(const Lines& history, std::size_t picks);
/// The first step of each commit of the database.
std::vector<std::uint64_t> commits(const Lines& history);
/// The steps of each kind, by their numbers.
std::vector<std::vector<std::uint64_t>> kinds_of_steps(const Lines& history);
/// `count` times two blows at random: the second falls while the first is made good, or later.
std::vector<Blows> double_blows(std::uint64_t steps, std::size_t count, unsigned seed);

}  // namespace pairmark::steps
