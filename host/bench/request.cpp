#include "host/bench/request.hpp"

namespace pairmark::bench {

std::string request_of(const record::Acted& act) {
    return record::body_to_json(act).dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
}

record::Acted act_from_request(const std::string& request) {
    const nlohmann::json json = nlohmann::json::parse(request, nullptr, false);
    if (json.is_discarded()) throw record::BadRecord("the request is not JSON");
    return std::get<record::Acted>(record::body_from_json("act", json));
}

}  // namespace pairmark::bench
