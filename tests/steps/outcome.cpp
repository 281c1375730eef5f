#include "tests/steps/outcome.hpp"

#include <sqlite3.h>

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "host/bench/pipeline.hpp"
#include "host/record/json.hpp"
#include "host/record/sha256.hpp"
#include "host/store/store.hpp"
#include "tests/steps/bench_run.hpp"
#include "tests/store/fresh_folder.hpp"

namespace pairmark::steps {
namespace {

using nlohmann::json;

/// A run that was interrupted has more starts in it, so its events have other numbers.
json without_event_numbers(json value) {
    if (value.is_object()) value.erase("event");
    if (value.is_structured())
        for (json& inner : value)
            inner = without_event_numbers(inner);
    return value;
}

std::string plain(const json& value) {
    return without_event_numbers(value).dump();
}

void look_at_pages(const std::filesystem::path& database, Lines& faults) {
    sqlite3* opened = nullptr;
    const auto take = [](void* to, int, char** values, char**) {
        if (values[0] != nullptr && std::string(values[0]) != "ok")
            static_cast<Lines*>(to)->push_back(std::string("the database is damaged: ") + values[0]);
        return 0;
    };
    if (sqlite3_open_v2(database.c_str(), &opened, SQLITE_OPEN_READWRITE, nullptr) != SQLITE_OK ||
        sqlite3_exec(opened, "PRAGMA integrity_check; PRAGMA foreign_key_check;", take, &faults, nullptr) !=
            SQLITE_OK)
        faults.push_back("the database cannot be checked");
    sqlite3_close(opened);
}

void look_at_files(const std::filesystem::path& folder, WayOut way_out, Outcome& outcome) {
    std::istringstream sheets(way_out == WayOut::paper ? tests::bytes_of(paper_of(folder)) : "");
    std::set<std::string> numbers;
    for (std::string sheet; std::getline(sheets, sheet);) {
        outcome.files.push_back(sheet);
        if (!numbers.insert(sheet.substr(0, sheet.find(' '))).second)
            outcome.faults.push_back("came out twice: " + sheet);
    }
    for (const auto& entry : std::filesystem::directory_iterator(labels_of(folder)))
        outcome.files.push_back(entry.path().filename().string() + ' ' +
                                record::sha256(tests::bytes_of(entry.path())));
    std::sort(outcome.files.begin(), outcome.files.end());
    static const std::set<std::string> known{"labels", "bench.db", "bench.db.lock", "bench.db.generation",
                                             // Where the last closing failed:
                                             "bench.db-wal", "bench.db-shm"};
    for (const auto& entry : std::filesystem::directory_iterator(folder / "bench"))
        if (!known.contains(entry.path().filename().string()))
            outcome.faults.push_back("a stray file: " + entry.path().filename().string());
}

void look_at_events(const store::Store& store, bench::Pipeline& pipeline, std::size_t events, Lines& faults) {
    std::size_t found = 0;
    std::map<std::string, int> printed;
    store.for_each_event([&](const record::Event& event) {
        (void)pipeline.apply(event);
        if (std::holds_alternative<record::ReadingTaken>(event.body) ||
            std::holds_alternative<record::KeyPressed>(event.body))
            ++found;
        if (const auto* out = std::get_if<record::Printed>(&event.body); out && out->outcome == "printed")
            ++printed[out->number];
    });
    if (found != events)
        faults.push_back(std::to_string(found) + " of the adapter's " + std::to_string(events) +
                         " events are there");
    for (const auto& [number, times] : printed)
        if (times != 1)
            faults.push_back("label " + number + " is said to be printed " + std::to_string(times) +
                             " times");
}

void look_at_pairs(const store::Store& store, const bench::Pipeline& pipeline, Outcome& outcome) {
    for (std::int64_t id = 1; id <= pipeline.table().count(); ++id) {
        const record::Pair& pair = *pipeline.table().find(id);
        const std::string made = plain(record::to_json(pair));
        const std::string verdict = plain(record::to_json(pipeline.verdict(pair)));
        outcome.pairs.push_back(std::to_string(id) + ' ' + pipeline.table().number(id) + ' ' + made + ' ' +
                                verdict);
        json standing = without_event_numbers(record::to_json(pair));
        standing.erase("labels_made");
        outcome.by_pair.push_back("pair " + std::to_string(id) + ' ' + standing.dump() + ' ' + verdict);
        const auto row = store.pair(id);
        std::string stored = "none";
        if (row) {
            const bool same_pair = plain(json::parse(row->body)) == made;
            const bool same_verdict = row->verdict && plain(json::parse(*row->verdict)) == verdict;
            stored = row->state + (same_pair ? "" : ", not as the events make it") +
                     (same_verdict ? "" : ", with another verdict");
        }
        outcome.rows.push_back("pair " + std::to_string(id) + ": " + stored);
    }
}

void look_at_labels(const store::Store& store, Outcome& outcome) {
    std::set<std::string> numbers;
    std::set<std::string> files(outcome.files.begin(), outcome.files.end());
    std::map<std::string, std::int64_t> pairs;
    for (const store::StoredLabel& label : store.labels()) {
        if (!numbers.insert(label.number).second) outcome.faults.push_back("given twice: " + label.number);
        outcome.labels.push_back(label.number + " of pair " + std::to_string(label.pair) +
                                 (label.is_void ? ", void, " : ", ") + label.date + ", " + label.place + ' ' +
                                 record::to_json(label.facts).dump());
        pairs[label.number] = label.pair;
        record::LabelFacts facts = label.facts;
        facts.number.clear();
        facts.place.clear();
        if (!label.is_void)
            outcome.by_pair.push_back("pair " + std::to_string(label.pair) + " label " +
                                      record::to_json(facts).dump());
    }
    for (const store::StoredIntent& intent : store.intents()) {
        const std::string word(record::word(intent.outcome));
        const std::string hash = record::sha256(store.intent(intent.id)->document);
        if (intent.outcome != record::PrintOutcome::void_)
            outcome.by_pair.push_back("pair " + std::to_string(pairs[intent.label]) + " copy " +
                                      std::to_string(intent.copy) + ": " + word);
        outcome.labels.push_back(intent.label + " copy " + std::to_string(intent.copy) + ": " + word + ' ' +
                                 hash);
        const bool is_there = files.erase(intent.label + ".pdf " + hash) == 1;
        if (!is_there && intent.outcome == record::PrintOutcome::printed)
            outcome.faults.push_back("printed and not there, or with other bytes: " + intent.label);
    }
    for (const std::string& file : files)
        outcome.faults.push_back("a file that is no label's: " + file);
    std::sort(outcome.by_pair.begin(), outcome.by_pair.end());
}

}  // namespace

Outcome outcome_of(const std::filesystem::path& folder, std::size_t events, WayOut way_out) {
    Outcome outcome;
    look_at_files(folder, way_out, outcome);
    look_at_pages(database_of(folder), outcome.faults);
    try {
        const store::Store store = store::Store::open_to_read(database_of(folder));
        bench::Pipeline pipeline;
        look_at_events(store, pipeline, events, outcome.faults);
        look_at_pairs(store, pipeline, outcome);
        look_at_labels(store, outcome);
    } catch (const std::exception& fault) {
        outcome.faults.push_back(std::string("the store cannot be read: ") + fault.what());
    }
    return outcome;
}

bool resolve_doubts(Outcome& outcome, const Lines& said) {
    static const std::string in_doubt = ": in-doubt";
    std::size_t told = 0;
    for (std::string& label : outcome.labels) {
        const std::size_t at = label.find(in_doubt);
        if (at == std::string::npos) continue;
        const std::string number = label.substr(0, label.find(' '));
        if (std::none_of(said.begin(), said.end(),
                         [&](const std::string& say) { return say.find(number) != std::string::npos; }))
            continue;
        label.replace(at, in_doubt.size(), ": printed");
        ++told;
        const std::string file = number + ".pdf " + label.substr(label.rfind(' ') + 1);
        if (std::find(outcome.files.begin(), outcome.files.end(), file) == outcome.files.end())
            outcome.files.push_back(file);
    }
    std::sort(outcome.files.begin(), outcome.files.end());
    std::size_t left = told;
    for (std::string& line : outcome.by_pair)
        if (const std::size_t at = line.find(in_doubt); at != std::string::npos && left > 0) {
            line.replace(at, in_doubt.size(), ": printed");
            --left;
        }
    std::sort(outcome.by_pair.begin(), outcome.by_pair.end());
    return told != 0;
}

void take_void_doubts_as_printed(Outcome& found, const Outcome& expected, const Lines& said) {
    for (const std::string& file : expected.files) {
        const std::string number = file.substr(0, file.find(".pdf"));
        const std::string void_line = number + " copy 0: void ";
        const bool is_void =
            std::any_of(found.labels.begin(), found.labels.end(),
                        [&](const std::string& label) { return label.starts_with(void_line); });
        const bool was_told = std::any_of(said.begin(), said.end(), [&](const std::string& say) {
            return say.find(number) != std::string::npos && say.find("in doubt") != std::string::npos;
        });
        const bool is_here = std::find(found.files.begin(), found.files.end(), file) != found.files.end();
        if (is_void && was_told && !is_here) found.files.push_back(file);
    }
    std::sort(found.files.begin(), found.files.end());
}

namespace {

std::string difference(const char* what, const Lines& expected, const Lines& found) {
    const auto [a, b] = std::mismatch(expected.begin(), expected.end(), found.begin(), found.end());
    if (a == expected.end() && b == found.end()) return {};
    return std::string(what) + ": expected " + (a == expected.end() ? "no more" : *a) + ", found " +
           (b == found.end() ? "no more" : *b);
}

}  // namespace

std::string difference(const Outcome& expected, const Outcome& found) {
    if (!found.faults.empty()) return found.faults.front();
    for (const auto& text :
         {difference("labels", expected.labels, found.labels),
          difference("files", expected.files, found.files), difference("pairs", expected.pairs, found.pairs)})
        if (!text.empty()) return text;
    return {};
}

std::string difference_by_pair(const Outcome& expected, const Outcome& found) {
    if (!found.faults.empty()) return found.faults.front();
    return difference("by pair", expected.by_pair, found.by_pair);
}

std::string difference_of_rows(const Outcome& expected, const Outcome& found) {
    return difference("rows", expected.rows, found.rows);
}

Lines summary(const Outcome& outcome) {
    Lines lines = outcome.rows;
    for (const std::string& label : outcome.labels) {
        const std::size_t facts = label.find(" {");
        const std::size_t hash = label.rfind(' ');
        lines.push_back(label.substr(0, facts != std::string::npos ? facts : hash));
    }
    return lines;
}

}  // namespace pairmark::steps
