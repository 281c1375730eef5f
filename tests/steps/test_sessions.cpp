// The logged sessions: what they hold comes back as inputs, and leads again to what it led to then.
#include <catch2/catch.hpp>
#include <cstdlib>
#include <fstream>
#include <map>

#include "host/bench/sorting.hpp"
#include "host/record/json.hpp"
#include "host/store/session.hpp"
#include "tests/steps/kill_trial.hpp"

namespace pairmark::steps {
namespace {

std::vector<record::Event> logged_events(const std::string& name) {
    std::ifstream in(folder_of_sessions() / (name + ".jsonl"));
    return store::read_session(in);
}

bool is_late(const record::EventBody& body) {
    if (const auto* taken = std::get_if<record::ReadingTaken>(&body)) return taken->late;
    return std::get<record::KeyPressed>(body).late;
}

}  // namespace

TEST_CASE("every logged session has its expected outcome") {
    CHECK(logged_names() == Lines{"doubts", "ordinary", "restarts"});
    for (const std::string& name : logged_names()) {
        const Undisturbed lived = undisturbed(read_logged(name));
        CHECK(lived.faults == Lines());
        CHECK(lived.outcome.faults == Lines());
        const auto file = folder_of_sessions() / (name + ".outcome.txt");
        if (const char* wish = std::getenv("PAIRMARK_WRITE_OUTCOMES"); wish != nullptr) {
            std::ofstream out(file);
            for (const std::string& line : summary(lived.outcome))
                out << line << '\n';
        }
        Lines expected;
        std::ifstream in(file);
        for (std::string line; std::getline(in, line);)
            expected.push_back(line);
        CHECK(summary(lived.outcome) == expected);
    }
}

TEST_CASE("a session that is lived through again gives the numbers, places and outcomes that were logged") {
    for (const std::string& name : logged_names()) {
        Lines logged;
        std::map<std::string, std::string> printed;
        for (const record::Event& event : logged_events(name)) {
            if (const auto* one = std::get_if<record::Numbered>(&event.body))
                logged.push_back(one->number + " of pair " + std::to_string(one->pair) + " " + one->place);
            if (const auto* one = std::get_if<record::Printed>(&event.body))
                printed[one->number] = one->outcome;
        }
        REQUIRE_FALSE(logged.empty());
        CHECK(printed.size() == logged.size());
        Lines lived;
        for (const std::string& label : undisturbed(read_logged(name)).outcome.labels) {
            const std::size_t facts = label.find(" {");
            if (facts == std::string::npos) continue;
            const std::size_t place = label.rfind(", ", facts);
            lived.push_back(label.substr(0, label.find(',')) + " " +
                            label.substr(place + 2, facts - place - 2));
        }
        CHECK(lived == logged);
    }
}

TEST_CASE("an adapter's event that is made from a logged one is kept as that one was") {
    std::size_t compared = 0;
    for (const std::string& name : logged_names()) {
        std::vector<record::EventBody> logged;
        for (const record::Event& event : logged_events(name))
            if (std::holds_alternative<record::ReadingTaken>(event.body) ||
                std::holds_alternative<record::KeyPressed>(event.body))
                logged.push_back(event.body);
        const LoggedSession session = read_logged(name);
        CHECK(session.events == logged.size());
        std::size_t at = 0;
        for (const Input& input : session.inputs) {
            const auto* event = std::get_if<AdapterEvent>(&input.what);
            if (event == nullptr) continue;
            REQUIRE(at < logged.size());
            const bool late = is_late(logged[at]);
            CHECK(event->link_healthy == !late);
            CHECK(protocol::in_range(event->line.event));
            CHECK(record::body_to_json(bench::body_of(event->line, event->adapter, late)) ==
                  record::body_to_json(logged[at]));
            ++at;
            ++compared;
        }
        CHECK(at == logged.size());
    }
    CHECK(compared > 50);
}

TEST_CASE("the logged sessions hold what the trials are for") {
    std::size_t starts = 0;
    std::size_t resets = 0;
    std::size_t acts = 0;
    std::size_t late = 0;
    std::size_t time_outs = 0;
    for (const std::string& name : logged_names())
        for (const record::Event& event : logged_events(name)) {
            if (std::holds_alternative<record::Started>(event.body)) ++starts;
            if (std::holds_alternative<record::Acted>(event.body)) ++acts;
            if (std::holds_alternative<record::TimedOut>(event.body)) ++time_outs;
            if (const auto* greeted = std::get_if<record::Greeted>(&event.body))
                resets += greeted->reset ? 1 : 0;
            if (const auto* taken = std::get_if<record::ReadingTaken>(&event.body))
                late += taken->late ? 1 : 0;
        }
    CHECK(starts >= 6);
    CHECK(resets >= 3);
    CHECK(acts >= 6);
    CHECK(late >= 1);
    CHECK(time_outs >= 1);
}

}  // namespace pairmark::steps
