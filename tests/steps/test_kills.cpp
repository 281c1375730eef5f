// SIGKILL and power cuts at the host. PAIRMARK_LONG=1 tries every step of every logged session in every way,
// and some hundreds of double blows; PAIRMARK_KILL=SESSION:ID plays one again, and
// PAIRMARK_STEPS=1 then shows the steps of each life.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>

#include "tests/steps/kill_trial.hpp"

namespace pairmark::steps {
namespace {

bool is_long() {
    const char* wish = std::getenv("PAIRMARK_LONG");
    return wish != nullptr && std::string(wish) == "1";
}

/// What PAIRMARK_KILL names of this session; empty if nothing.
std::string wished(const std::string& session) {
    const char* wish = std::getenv("PAIRMARK_KILL");
    const std::string text = wish == nullptr ? "" : wish;
    return text.starts_with(session + ":") ? text.substr(session.size() + 1) : "";
}

std::vector<Blows> planned(const Undisturbed& expected) {
    std::vector<Blows> all = is_long() ? all_blows(expected.steps) : blows_of_each_kind(expected.history, 1);
    for (const Blows& blows : double_blows(expected.steps, is_long() ? 400 : 10, 20261126))
        all.push_back(blows);
    return all;
}

void try_session(const std::string& name, WayOut way_out = WayOut::folder) {
    const LoggedSession session = read_logged(name);
    const Undisturbed expected = undisturbed(session, Wrong::none, way_out);
    REQUIRE(expected.faults == Lines());
    REQUIRE(difference(expected.outcome, expected.outcome) == "");
    std::vector<Blows> all = planned(expected);
    if (const std::string id = wished(name + (way_out == WayOut::paper ? ",paper" : "")); !id.empty()) {
        REQUIRE(blows_of(id));
        all = {*blows_of(id)};
        REQUIRE((all.front().front().at >= 1 && all.front().front().at <= expected.steps));
    }
    std::size_t broken = 0;
    for (const Blows& blows : all) {
        const std::string what = try_blows(session, expected, blows, Wrong::none, way_out);
        const std::size_t at = blows.front().at;
        INFO("play it again with PAIRMARK_KILL=" << name << (way_out == WayOut::paper ? ",paper" : "") << ":"
                                                 << id_of(blows) << "; the step was "
                                                 << expected.history.at(at - 1));
        CHECK(what == "");
        if (!what.empty() && ++broken == 20) break;
    }
    WARN(name << ": " << expected.steps << " steps; " << all.size() << " tries, " << broken << " broken");
}

}  // namespace

TEST_CASE("a host killed at any step ends an ordinary day with the same pairs and labels") {
    try_session("ordinary");
}

TEST_CASE("a host killed at any step ends a day of doubts with the same pairs and labels") {
    try_session("doubts");
}

TEST_CASE("a host killed at any step ends a day of restarts with the same pairs and labels") {
    try_session("restarts");
}

TEST_CASE("a host killed at any step puts no label on paper twice, and names each that may be missing") {
    try_session("ordinary", WayOut::paper);
    try_session("doubts", WayOut::paper);
}

TEST_CASE("after a kill the store's rows of the pairs are what the events make") {
    const LoggedSession session = read_logged("ordinary");
    const Undisturbed expected = undisturbed(session);
    for (const Blows& blows : blows_of_each_kind(expected.history, 1)) {
        std::string rows;
        CHECK(try_blows(session, expected, blows, Wrong::none, WayOut::folder, &rows) == "");
        INFO("play it again with PAIRMARK_KILL=ordinary:" << id_of(blows) << "; the step was "
                                                          << expected.history.at(blows.front().at - 1));
        CHECK(rows == "");
        if (!rows.empty()) break;
    }
}

TEST_CASE("a blow's id says everything about it") {
    for (const char* id : {"1b", "137a", "20h", "3p", "7.ENOSPC", "7.EIO", "9.EIO+", "9.ENOSPC+"}) {
        const auto blow = blow_of(id);
        REQUIRE(blow);
        CHECK(id_of(*blow) == id);
    }
    REQUIRE(blows_of("137a,12h"));
    CHECK(id_of(*blows_of("137a,12h")) == "137a,12h");
    for (const char* wrong : {"", "a", "1", "1x", "1b ", "1.", "1.ENOENT", "1b,", ",1b", "-1b"})
        CHECK_FALSE(blows_of(wrong));
}

TEST_CASE("the steps that make a label are counted: the commit's, and the file's") {
    const Undisturbed lived = undisturbed(read_logged("ordinary"));
    const auto count = [&lived](const std::string& what) {
        return std::count_if(lived.history.begin(), lived.history.end(),
                             [&what](const std::string& one) { return one.find(what) != std::string::npos; });
    };
    CHECK(lived.history.size() == lived.steps);
    const auto labels = static_cast<long>(lived.outcome.files.size());
    CHECK(labels == 8);
    CHECK(count(" rename labels/") == labels);
    CHECK(count(" fsync labels/") == labels);
    CHECK(count(" create labels/") == labels);
    CHECK(count(" write labels/") >= labels);
    // A commit an event, one a number, one an outcome.
    CHECK(count(" fdatasync bench.db-wal") >= 3 * labels + 20);
    CHECK(count(" rename bench.db.generation") >= 1);
}

}  // namespace pairmark::steps
