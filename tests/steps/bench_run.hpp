// A bench that lives through a logged session in a process of its own: the real store and the real folder of
// labels on the disk, the daemon's work on events, time that stands still. And the adapter and the people
// around it, who do not give up: an event that was not acknowledged comes again, so does an act that nobody
// answered.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "tests/steps/durable_steps.hpp"
#include "tests/steps/logged_session.hpp"

namespace pairmark::steps {

/// What a host could do wrong. None in the trials; with each of them the trials must fail.
enum class Wrong {
    none,
    acknowledges_first,  // the acknowledgement goes out before the event is kept
    prints_in_place,     // the label's file gets its name before its bytes
    prints_unflushed,    // the label's file gets its name before its bytes rest on the disk
    says_printed,        // and nothing came out
    does_not_ask,        // a sheet comes out before it is durable that it may
    swallows_failures,   // the bench is told nothing of what failed
};

/// folder: a label is a file, and whether it is there can be found out after a cut. paper: what is out is
/// out, and only people can see it; the trial keeps a list of the sheets.
enum class WayOut { folder, paper };

struct Run {
    const LoggedSession& session;
    std::filesystem::path folder;  // holds `bench` and `attic`
    std::size_t first = 0;         // the input to begin with; past the last: only a start
    Blow blow;
    Wrong wrong = Wrong::none;
    bool tell_steps = false;
    WayOut way_out = WayOut::folder;
    bool patient = true;  // people who are told of a trouble wait until it is over before they go on
};

/// What came of it, as the parent heard it: also what was told before a kill.
struct Lived {
    std::size_t next = 0;  // the first input that was not acknowledged
    bool to_the_end = false;
    bool was_killed = false;
    bool blow_fell = false;            // of a failing call
    std::uint64_t steps = 0;           // if it lived to the end
    std::size_t again = 0;             // events, acts and starts that did not succeed at once
    std::vector<std::string> said;     // what people were told of troubles
    std::vector<std::string> faults;   // what must never be, e.g. an acknowledgement before the commit
    std::vector<std::string> history;  // see durable_steps.hpp; only where it was asked for
};

/// Makes the folders that a run needs.
void prepare(const std::filesystem::path& folder);
std::filesystem::path database_of(const std::filesystem::path& folder);
std::filesystem::path labels_of(const std::filesystem::path& folder);
/// The sheets that came out, a line each: "NUMBER.pdf SHA-256". Not there: none.
std::filesystem::path paper_of(const std::filesystem::path& folder);

/// Lives through it in a child process and waits for its end. Throws std::runtime_error where there can be no
/// child.
Lived live(const Run& run);

}  // namespace pairmark::steps
