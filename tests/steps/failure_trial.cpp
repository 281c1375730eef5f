#include "tests/steps/failure_trial.hpp"

#include <algorithm>

#include "tests/store/fresh_folder.hpp"

namespace pairmark::steps {
namespace {

/// What happened, where, and behind "): " or "; " what to do.
bool says_next_step(const std::string& say) {
    const bool where = say.find('/') != std::string::npos;
    const std::size_t store_says = say.rfind("): ");
    const std::size_t label_says = say.rfind("; ");
    return where && ((store_says != std::string::npos && store_says + 3 < say.size()) ||
                     (label_says != std::string::npos && label_says + 2 < say.size()));
}

}  // namespace

Failed try_failure(const LoggedSession& session, const Undisturbed& expected, const Blow& blow, bool patient,
                   WayOut way_out, Wrong wrong) {
    const tests::FreshFolder fresh;
    const std::filesystem::path folder = std::filesystem::canonical(fresh / ".");
    prepare(folder);
    const Lived lived = live({session, folder, 0, blow, wrong, false, way_out, patient});
    Failed failed;
    if (!lived.said.empty()) failed.said = lived.said.front();
    failed.noticed = lived.again != 0 || !lived.said.empty();
    const auto differs = [&] {
        Outcome found = outcome_of(folder, session.events, way_out);
        failed.in_doubt = resolve_doubts(found, lived.said);
        return patient ? difference(expected.outcome, found) : difference_by_pair(expected.outcome, found);
    };
    const auto bare = std::find_if_not(lived.said.begin(), lived.said.end(), says_next_step);
    if (!lived.faults.empty()) {
        failed.broken = lived.faults.front();
    } else if (!lived.blow_fell) {
        failed.broken = "the call never came";
    } else if (lived.next < session.inputs.size()) {
        failed.broken = "input " + std::to_string(lived.next) + " was never acknowledged";
    } else if (lived.again != 0 && lived.said.empty()) {
        failed.broken = "something did not succeed and nobody was told";
    } else if (bare != lived.said.end()) {
        failed.broken = "no place or next step in: " + *bare;
    } else if (failed.broken = differs(); !failed.broken.empty()) {
        // Whether the next start makes it good says where to look for the fault.
        (void)live({session, folder, session.inputs.size(), {}, wrong, false, way_out});
        if (differs().empty()) failed.broken = "right only after a restart: " + failed.broken;
    }
    return failed;
}

}  // namespace pairmark::steps
