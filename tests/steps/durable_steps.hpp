// Every call of this process that makes something durable or visible in one folder, counted; and a blow at
// one of them: the process is killed there, the power goes, or the call fails.
//
// The calls are caught by defining them in the test program, where the loader looks first: what SQLite and
// the C++ library call is caught, too. There is one count a process, as there is one `write` in it; before
// arm() and outside the folder all calls are the system's own.
//
// Nothing is really flushed in an armed process: a kill takes nothing from the system's memory, and what a
// power cut takes is kept account of here.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace pairmark::steps {

/// What happens at step `at` (from 1; 0: nothing ever does).
struct Blow {
    enum class Kind {
        kill_before,
        kill_after,
        kill_half,  // of a write half of the bytes arrive; as kill_after for every other call
        power_cut,  // the process dies, and of each file and folder all that was not flushed is undone
        fail,       // the call fails with `error`; half of a write's bytes may have arrived
        fail_on,    // so does every later one, until relieve()
    };
    Kind kind = Kind::kill_before;
    std::uint64_t at = 0;
    int error = 0;  // errno
};

/// "137b", "137a", "137h", "137p", "137.ENOSPC", "137.EIO+". The other way nullopt for anything else.
std::string id_of(const Blow& blow);
std::optional<Blow> blow_of(const std::string& id);

/// From here on calls on files in `folder` (an absolute path without links) count. `attic` is a folder of the
/// trial's own on the same disk, where what a power cut brings back is kept.
void arm(const std::string& folder, const std::string& attic, const Blow& blow);
/// Calls fail no longer.
void relieve();
std::uint64_t count();
/// The blow has fallen (of those after which the process lives).
bool has_failed();

/// Files of the folder that were written, and folders in which a name was made or changed, and not flushed
/// since. Without those that need not last: SQLite's shared memory and the lock.
std::vector<std::string> not_flushed();
/// Names that were given to files before these were flushed: a cut can leave such a file empty.
const std::vector<std::string>& named_too_early();
/// What was done at each step, for people: "23 pwrite bench.db-wal 4096".
const std::vector<std::string>& history();

}  // namespace pairmark::steps
