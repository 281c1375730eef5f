// A bench for the tests: a store in a folder of its own, a printer that remembers, time that stands still.
#pragma once

#include <deque>
#include <nlohmann/json.hpp>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

#include "host/bench/sorting.hpp"
#include "host/record/json.hpp"
#include "tests/bench/lines.hpp"
#include "tests/store/fresh_folder.hpp"

namespace pairmark::tests {

using bench::Sorting;
using record::PrintOutcome;
using Taken = Sorting::Taken;
using Words = std::vector<std::string>;

/// The power goes at this moment.
struct PowerCut {};

class RecordingPrinter final : public printing::Printer {
  public:
    struct Sheet {
        std::string number;
        std::string document;
        friend bool operator==(const Sheet&, const Sheet&) = default;
    };
    std::string name() const override { return "the tests' printer"; }
    void print(printing::Job job, Begins, Done done) override {
        if (cut) throw PowerCut();
        asked.push_back({job.number, std::move(job.document)});
        if (result.outcome == PrintOutcome::printed) out.push_back(asked.back());
        done(result);
    }
    std::vector<Sheet> asked;  // every job
    std::vector<Sheet> out;    // what was printed
    printing::Result result{PrintOutcome::printed, ""};
    bool cut = false;
};

class Bench {
  public:
    Bench() {
        config.database = folder / "bench.db";
        config.programme = "Reading Room";
    }

    /// Opens the store and begins the day; what ran before ends as if by a cut.
    void start() {
        sorting.reset();
        store.reset();
        store.emplace(store::Store::open(config.database));
        sorting.emplace(Sorting::Seams{*store, printer, timers, announcer,
                                       [this](const std::string& show) { cues.push_back(show); },
                                       [](const std::string& label) { return "labels/" + label + ".pdf"; }},
                        config, rules);
        sorting->start();
    }

    Taken take(const protocol::EventLine& event, bool link_healthy = true) {
        return sorting->take(event, adapter_id, event_text(event), link_healthy);
    }
    Taken measure(std::initializer_list<protocol::LensFields> lenses) {
        const Taken taken = take(reading(++number, lenses));
        sorting->settle();
        return taken;
    }
    void measure_pair(const protocol::LensFields& right, const protocol::LensFields& left) {
        measure({right});
        measure({left});
    }
    /// The n-th pair of a day of plain pairs that the example programme keeps, no two alike.
    void measure_kept_pair(int nth = 0) {
        measure_pair(right_lens(-125 - 25 * nth), left_lens(-150 - 25 * nth));
    }
    Taken press(protocol::Key key, bool long_press = false) {
        const Taken taken = take(key_press(++number, key, long_press));
        sorting->settle();
        return taken;
    }
    std::string act(const std::string& act, std::optional<std::int64_t> pair = {},
                    const std::string& text = {}) {
        return sorting->act({act, pair, {}, text});
    }
    std::string mark(const record::Marks& values, std::optional<std::int64_t> pair = {}) {
        return sorting->act({"mark", pair, values, {}});
    }

    const record::Pair& pair(std::int64_t id) const {
        const record::Pair* found = sorting->pipeline().table().find(id);
        if (found == nullptr) throw std::logic_error("no such pair");
        return *found;
    }
    record::PairState state(std::int64_t id) const { return pair(id).state; }
    /// Every pair with its verdict and number, as text.
    Words pairs() const {
        Words all;
        for (std::int64_t id = 1; id <= sorting->pipeline().table().count(); ++id)
            all.push_back(record::to_json(pair(id)).dump() +
                          record::to_json(sorting->pipeline().verdict(pair(id))).dump() +
                          sorting->pipeline().table().number(id));
        return all;
    }
    /// The sentences of one kind that were told, in order.
    Words told(const std::string& kind) const {
        Words says;
        std::istringstream lines(said.str());
        for (std::string line; std::getline(lines, line);) {
            const auto object = nlohmann::json::parse(line);
            if (object["tell"] == kind) says.push_back(object["say"]);
        }
        return says;
    }
    /// The labels' numbers without their check character, in order of giving; "void" behind those void.
    Words numbers() const {
        Words all;
        for (const store::StoredLabel& label : store->labels())
            all.push_back(label.number.substr(0, label.number.size() - 2) + (label.is_void ? " void" : ""));
        return all;
    }
    Words places() const {
        Words all;
        for (const store::StoredLabel& label : store->labels())
            all.push_back(label.place);
        return all;
    }
    std::vector<record::Event> events() const {
        std::vector<record::Event> all;
        store->for_each_event([&all](const record::Event& event) { all.push_back(event); });
        return all;
    }
    template <typename Body>
    std::vector<Body> all() const {
        std::vector<Body> found;
        for (const record::Event& event : events())
            if (const Body* body = std::get_if<Body>(&event.body)) found.push_back(*body);
        return found;
    }

    FreshFolder folder;
    bench::Config config;
    std::string rules{grading::default_rules_text()};
    RecordingPrinter printer;
    bench::SteppedTimers timers{std::chrono::sys_days(std::chrono::year(2026) / 11 / 24) +
                                std::chrono::hours(12)};
    std::ostringstream said;
    bench::Announcer announcer{said, bench::Announcer::Form::json};
    Words cues;
    std::uint32_t number = 0;  // of the adapter's newest event
    std::optional<store::Store> store;
    std::optional<Sorting> sorting;
};

/// Rules that keep whatever comes.
inline const char* const keep_all = R"({"name": "Keep all", "date": "2026-01-01",
    "take_for_granted": {"looked_over": true, "addition": 0}, "rules": []})";
/// Rules that turn down every cylinder over `limit`, and nothing else.
inline std::string no_cylinder_over(const std::string& limit) {
    return R"({"name": "Cylinders", "date": "2026-01-01", "take_for_granted": {"looked_over": true, "addition": 0},
        "rules": [{"id": "cylinder", "when": {"quantity": "cylinder", "lens": "either", "over": )" +
           limit + R"(}, "verdict": "discard", "say": "The cylinder is too strong"}]})";
}

}  // namespace pairmark::tests
