#include "tests/steps/kill_trial.hpp"

#include <map>
#include <random>

#include "tests/store/fresh_folder.hpp"

namespace pairmark::steps {
namespace {

constexpr Blow::Kind ways[] = {Blow::Kind::kill_before, Blow::Kind::kill_half, Blow::Kind::power_cut,
                               Blow::Kind::kill_after};

std::filesystem::path real(const tests::FreshFolder& folder) {
    return std::filesystem::canonical(folder / ".");
}

}  // namespace

Undisturbed undisturbed(const LoggedSession& session, Wrong wrong, WayOut way_out) {
    const tests::FreshFolder fresh;
    const std::filesystem::path folder = real(fresh);
    prepare(folder);
    const Lived lived = live({session, folder, 0, {}, wrong, true, way_out});
    Undisturbed all{lived.steps, outcome_of(folder, session.events, way_out), lived.history, lived.faults};
    if (lived.again != 0) all.faults.push_back("something did not succeed at once");
    for (const std::string& say : lived.said)
        all.faults.push_back("said: " + say);
    return all;
}

std::string id_of(const Blows& blows) {
    std::string id;
    for (const Blow& blow : blows)
        id += (id.empty() ? "" : ",") + id_of(blow);
    return id;
}

std::optional<Blows> blows_of(const std::string& id) {
    Blows blows;
    for (std::size_t begin = 0; begin <= id.size();) {
        const std::size_t end = std::min(id.find(',', begin), id.size());
        const auto blow = blow_of(id.substr(begin, end - begin));
        if (!blow) return std::nullopt;
        blows.push_back(*blow);
        begin = end + 1;
    }
    return blows;
}

std::string try_blows(const LoggedSession& session, const Undisturbed& expected, const Blows& blows,
                      Wrong wrong, WayOut way_out, std::string* rows) {
    const tests::FreshFolder fresh;
    const std::filesystem::path folder = real(fresh);
    prepare(folder);
    std::size_t next = 0;
    bool done = false;
    Lines said;
    for (std::size_t life = 0; life <= blows.size() && !done; ++life) {
        const Lived lived =
            live({session, folder, next, life < blows.size() ? blows[life] : Blow(), wrong, false, way_out});
        said.insert(said.end(), lived.said.begin(), lived.said.end());
        if (!lived.faults.empty()) return lived.faults.front();
        if (life == blows.size() && lived.was_killed) return "the last life was killed by somebody else";
        // A second blow may fall after the end of what the first left to do.
        done = lived.to_the_end;
        next = lived.next;
    }
    if (next < session.inputs.size()) return "input " + std::to_string(next) + " was never acknowledged";
    Outcome found = outcome_of(folder, session.events, way_out);
    if (way_out == WayOut::paper) {
        (void)resolve_doubts(found, said);
        take_void_doubts_as_printed(found, expected.outcome, said);
    }
    if (rows != nullptr) *rows = difference_of_rows(expected.outcome, found);
    return difference(expected.outcome, found);
}

std::vector<Blows> all_blows(std::uint64_t steps) {
    std::vector<Blows> all;
    for (std::uint64_t at = 1; at <= steps; ++at)
        for (const Blow::Kind kind : ways)
            all.push_back({{kind, at, 0}});
    return all;
}

std::vector<std::vector<std::uint64_t>> kinds_of_steps(const Lines& history) {
    std::map<std::string, std::vector<std::uint64_t>> kinds;
    for (std::size_t i = 0; i < history.size(); ++i) {
        std::string kind = history[i].substr(history[i].find(' ') + 1);
        // Of a label's file only the ending counts, and not how long the document is.
        if (const std::size_t label = kind.find("labels/"); label != std::string::npos)
            kind = kind.substr(0, label) + (kind.find(".part") != std::string::npos ? "part" : "label");
        kinds[kind].push_back(i + 1);
    }
    std::vector<std::vector<std::uint64_t>> all;
    for (auto& [kind, steps] : kinds)
        all.push_back(std::move(steps));
    return all;
}

std::vector<std::uint64_t> commits(const Lines& history) {
    std::vector<std::uint64_t> all;
    bool inside = false;
    for (std::size_t i = 0; i < history.size(); ++i) {
        if (history[i].find("bench.db-wal") == std::string::npos) continue;
        if (!inside && history[i].find(" pwrite ") != std::string::npos) {
            all.push_back(i + 1);
            inside = true;
        }
        if (history[i].find(" fdatasync ") != std::string::npos) inside = false;
    }
    return all;
}

std::vector<Blows> blows_of_each_kind(const Lines& history, std::size_t picks) {
    std::vector<Blows> all;
    for (const auto& steps : kinds_of_steps(history)) {
        const std::size_t places = std::size(ways) * picks;
        for (std::size_t i = 0; i < places; ++i)
            all.push_back({{ways[i % std::size(ways)], steps[i * steps.size() / places], 0}});
    }
    return all;
}

std::vector<Blows> double_blows(std::uint64_t steps, std::size_t count, unsigned seed) {
    std::mt19937 chance(seed);
    const auto below = [&chance](std::uint64_t limit) { return chance() % limit; };
    std::vector<Blows> all;
    for (std::size_t i = 0; i < count; ++i) {
        const Blow first{ways[below(std::size(ways))], 1 + below(steps), 0};
        const std::uint64_t soon = 1 + below(80);
        const Blow second{ways[below(std::size(ways))], below(3) == 0 ? 1 + below(steps) : soon, 0};
        all.push_back({first, second});
    }
    return all;
}

}  // namespace pairmark::steps
