// Every call of the host that makes something durable fails once, with a full disk or a broken one.
// PAIRMARK_LONG=1 lets each of them fail, also for as long as an input lasts; PAIRMARK_FAILURE=SESSION:ID
// plays one again.
#include <catch2/catch.hpp>
#include <cerrno>
#include <cstdlib>

#include "tests/steps/failure_trial.hpp"

namespace pairmark::steps {
namespace {

bool is_long() {
    const char* wish = std::getenv("PAIRMARK_LONG");
    return wish != nullptr && std::string(wish) == "1";
}

std::string wished(const std::string& session) {
    const char* wish = std::getenv("PAIRMARK_FAILURE");
    const std::string text = wish == nullptr ? "" : wish;
    return text.starts_with(session + ":") ? text.substr(session.size() + 1) : "";
}

struct Planned {
    Blow blow;
    bool patient;
};

/// "72.EIO+" where people wait until a trouble is over, "72.EIO+,on" where they go on measuring.
std::string id_of(const Planned& planned) {
    return id_of(planned.blow) + (planned.patient ? "" : ",on");
}
std::optional<Planned> planned_of(const std::string& id) {
    const std::size_t comma = id.find(',');
    if (comma != std::string::npos && id.substr(comma) != ",on") return std::nullopt;
    const auto blow = blow_of(id.substr(0, comma));
    if (!blow) return std::nullopt;
    return Planned{*blow, comma == std::string::npos};
}

std::vector<Planned> planned(const Undisturbed& expected) {
    static constexpr std::pair<Blow::Kind, int> ways[] = {{Blow::Kind::fail, ENOSPC},
                                                          {Blow::Kind::fail, EIO},
                                                          {Blow::Kind::fail_on, ENOSPC},
                                                          {Blow::Kind::fail_on, EIO}};
    std::vector<Planned> all;
    if (is_long()) {
        for (std::uint64_t at = 1; at <= expected.steps; ++at)
            for (const auto& [kind, error] : ways)
                for (const bool patient : {true, false})
                    all.push_back({{kind, at, error}, patient});
        return all;
    }
    // Each kind of step, and each commit for as long as an input lasts; the ways and the people in turn.
    std::size_t turn = 0;
    for (const auto& kind : kinds_of_steps(expected.history))
        for (std::size_t i = 0; i < 2; ++i) {
            const auto& [fails, error] = ways[turn % std::size(ways)];
            all.push_back({{fails, kind[i * kind.size() / 2], error}, turn++ % 3 != 0});
        }
    for (const std::uint64_t commit : commits(expected.history)) {
        all.push_back({{Blow::Kind::fail_on, commit, turn % 2 == 0 ? ENOSPC : EIO}, turn % 3 != 0});
        ++turn;
    }
    return all;
}

void try_session(const std::string& name) {
    const LoggedSession session = read_logged(name);
    const Undisturbed expected = undisturbed(session);
    REQUIRE(expected.faults == Lines());
    std::vector<Planned> all = planned(expected);
    if (const std::string id = wished(name); !id.empty()) {
        REQUIRE(planned_of(id));
        all = {*planned_of(id)};
        REQUIRE((all.front().blow.at >= 1 && all.front().blow.at <= expected.steps));
    }
    std::size_t broken = 0;
    std::size_t noticed = 0;
    std::size_t in_doubt = 0;
    for (const Planned& one : all) {
        const Failed failed = try_failure(session, expected, one.blow, one.patient);
        INFO("play it again with PAIRMARK_FAILURE=" << name << ":" << id_of(one) << "; the step was "
                                                    << expected.history.at(one.blow.at - 1)
                                                    << "; people heard: " << failed.said);
        CHECK(failed.broken == "");
        noticed += failed.noticed ? 1 : 0;
        in_doubt += failed.in_doubt ? 1 : 0;
        if (!failed.broken.empty() && ++broken == 20) break;
    }
    // A trial in which hardly any failure is ever felt would prove little.
    CHECK((all.size() == 1 || noticed > all.size() / 2));
    WARN(name << ": " << expected.steps << " steps; " << all.size() << " failures, " << noticed
              << " noticed, " << in_doubt << " labels in doubt, " << broken << " broken");
}

}  // namespace

TEST_CASE("a call that fails on an ordinary day costs nothing but time, and people are told") {
    try_session("ordinary");
}

TEST_CASE("a call that fails on a day of doubts costs nothing but time, and people are told") {
    try_session("doubts");
}

TEST_CASE("a call that fails on a day of restarts costs nothing but time, and people are told") {
    try_session("restarts");
}

TEST_CASE("a failure of which nobody is told is noticed") {
    const LoggedSession session = read_logged("ordinary");
    const Undisturbed expected = undisturbed(session);
    std::string what;
    for (std::uint64_t at = 60; at <= expected.steps && what.empty(); at += 7)
        what = try_failure(session, expected, {Blow::Kind::fail, at, EIO}, true, WayOut::folder,
                           Wrong::swallows_failures)
                   .broken;
    CHECK_THAT(what, Catch::Contains("nobody was told"));
}

}  // namespace pairmark::steps
