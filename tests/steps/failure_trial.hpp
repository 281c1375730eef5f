// A logged session lived through while a call of the operating system fails.
#pragma once

#include <string>

#include "tests/steps/kill_trial.hpp"

namespace pairmark::steps {

struct Failed {
    std::string broken;     // what was not as it should be; empty: nothing
    bool noticed = false;   // something did not succeed at once, or people were told
    bool in_doubt = false;  // a label waits for a person, who was told
    std::string said;       // the first sentence for people
};

/// The session with this one failure: the end must be as without, or a label that may or may not be on the
/// disk is in doubt and people were told so. People who are not `patient` go on measuring meanwhile; then
/// labels may be made in another order.
Failed try_failure(const LoggedSession& session, const Undisturbed& expected, const Blow& blow,
                   bool patient = true, WayOut way_out = WayOut::folder, Wrong wrong = Wrong::none);

}  // namespace pairmark::steps
