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
Undisturbed undisturbed(const LoggedSession& session, Wrong wrong = Wrong::none);

/// One life after another, each ended by the next blow; then one that goes through to the end.
using Blows = std::vector<Blow>;
std::string id_of(const Blows& blows);                 // "137a,12h"
std::optional<Blows> blows_of(const std::string& id);  // nullopt: it is none

/// What was not as it should be; empty: nothing. `rows` receives the same of the pairs' rows in the store,
/// which can be made again from the events.
std::string try_blows(const LoggedSession& session, const Undisturbed& expected, const Blows& blows,
                      Wrong wrong = Wrong::none, std::string* rows = nullptr);

/// Every `stride`-th step of `steps`, from `offset` on, with the ways of dying in turn; stride 1: every step
/// in every way.
std::vector<Blows> blows_in_turn(std::uint64_t steps, std::uint64_t stride, std::uint64_t offset);
/// `count` times two blows at random: the second falls while the first is made good, or later.
std::vector<Blows> double_blows(std::uint64_t steps, std::size_t count, unsigned seed);

}  // namespace pairmark::steps
