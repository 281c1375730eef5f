#include "host/cli/tell_daemon.hpp"

#include <filesystem>
#include <iostream>
#include <nlohmann/json.hpp>

#include "host/bench/config.hpp"
#include "host/bench/control.hpp"
#include "host/bench/request.hpp"

namespace pairmark::cli {

int tell_daemon(const std::string& config, const record::Acted& act) {
    const std::filesystem::path socket = bench::control_path(bench::load_config(config).database);
    const auto reply =
        nlohmann::json::parse(bench::ask_daemon(socket, bench::request_of(act)), nullptr, false);
    if (reply.is_object() && reply.contains("answer")) {
        std::cout << reply["answer"].get<std::string>() << "\n";
        return 0;
    }
    std::cerr << "pairmark: "
              << (reply.is_object() ? reply.value("error", "no answer") : "no answer that can be read")
              << "\n";
    return 1;
}

}  // namespace pairmark::cli
