// Any bytes as a session: read whole, or refused with BadRecord; what was read can be written and read again,
// and an import takes it or refuses it with its line.
#include <cstdint>
#include <cstdlib>
#include <sstream>
#include <string>
#include <vector>

#include "host/bench/import_session.hpp"
#include "host/record/json.hpp"
#include "host/store/session.hpp"

namespace {

using namespace pairmark;

/// A session's hash stops nearly every input early, so its lines are tried as events as well: those that are
/// some, numbered anew.
std::vector<record::Event> events_in(const std::string& bytes) {
    std::vector<record::Event> events;
    std::istringstream lines(bytes);
    for (std::string line; std::getline(lines, line);) {
        auto json = nlohmann::json::parse(line, nullptr, false);
        if (json.is_discarded()) continue;
        try {
            record::Event event = record::event_from_json(json);
            const auto written = record::to_json(event);
            if (record::to_json(record::event_from_json(written)) != written) std::abort();
            event.sequence = static_cast<std::int64_t>(events.size()) + 1;
            events.push_back(std::move(event));
        } catch (const record::BadRecord&) {
        }
    }
    return events;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string bytes(reinterpret_cast<const char*>(data), size);
    std::istringstream in(bytes);
    try {
        (void)bench::read_to_import(in);
    } catch (const record::BadRecord& bad) {
        if (std::string(bad.what()).rfind("line ", 0) != 0) std::abort();
    }
    try {
        const bench::SessionToImport session = bench::to_import(events_in(bytes));
        // What is taken leaves a series for this store's own numbers.
        if (!session.derived.oddities.empty() || session.latest_series.size() > 3) std::abort();
    } catch (const record::BadRecord& bad) {
        if (std::string(bad.what()).rfind("line ", 0) != 0) std::abort();
    }
    return 0;
}
