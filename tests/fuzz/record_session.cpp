// Any bytes as a session: read whole, or refused with BadRecord; what was read can be written and read again.
#include <cstdint>
#include <cstdlib>
#include <sstream>
#include <string>

#include "host/record/json.hpp"
#include "host/store/session.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace pairmark;
    const std::string bytes(reinterpret_cast<const char*>(data), size);
    std::istringstream in(bytes);
    try {
        store::read_session(in);
    } catch (const record::BadRecord&) {
    }
    // A session's hash stops nearly every input early, so the same bytes are tried as one event as well.
    const auto json = nlohmann::json::parse(bytes, nullptr, false);
    if (json.is_discarded()) return 0;
    try {
        const record::Event event = record::event_from_json(json);
        const auto written = record::to_json(event);
        if (record::to_json(record::event_from_json(written)) != written) std::abort();
    } catch (const record::BadRecord&) {
    }
    return 0;
}
