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

/// Labels in doubt wait for a person: the one difference that a failure may leave. What people were told must
/// name each.
bool without_doubts(Outcome& found, const Lines& said) {
    static const std::string in_doubt = ": in-doubt";
    std::size_t told = 0;
    for (std::string& label : found.labels) {
        const std::size_t at = label.find(in_doubt);
        if (at == std::string::npos) continue;
        const std::string number = label.substr(0, label.find(' '));
        if (std::none_of(said.begin(), said.end(),
                         [&](const std::string& say) { return say.find(number) != std::string::npos; }))
            continue;
        label.replace(at, in_doubt.size(), ": printed");
        ++told;
    }
    std::size_t left = told;
    for (std::string& line : found.by_pair)
        if (const std::size_t at = line.find(in_doubt); at != std::string::npos && left > 0) {
            line.replace(at, in_doubt.size(), ": printed");
            --left;
        }
    std::sort(found.by_pair.begin(), found.by_pair.end());
    return told != 0;
}

}  // namespace

Failed try_failure(const LoggedSession& session, const Undisturbed& expected, const Blow& blow, bool patient,
                   Wrong wrong) {
    const tests::FreshFolder fresh;
    const std::filesystem::path folder = std::filesystem::canonical(fresh / ".");
    prepare(folder);
    const Lived lived = live({session, folder, 0, blow, wrong, false, patient});
    Failed failed;
    if (!lived.said.empty()) failed.said = lived.said.front();
    failed.noticed = lived.again != 0 || !lived.said.empty();
    const auto differs = [&] {
        Outcome found = outcome_of(folder, session.events);
        failed.in_doubt = without_doubts(found, lived.said);
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
        (void)live({session, folder, session.inputs.size(), {}, wrong});
        if (differs().empty()) failed.broken = "right only after a restart: " + failed.broken;
    }
    return failed;
}

}  // namespace pairmark::steps
