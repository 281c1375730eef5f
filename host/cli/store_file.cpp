#include "host/cli/store_file.hpp"

#include <array>
#include <fstream>
#include <string_view>

#include "host/bench/config.hpp"
#include "host/cli/files.hpp"
#include "host/store/store.hpp"

namespace pairmark::cli {

bool is_database(const std::filesystem::path& file) {
    constexpr std::string_view beginning("SQLite format 3\0", 16);
    std::array<char, 16> bytes{};
    std::ifstream in(file, std::ios::binary);
    in.read(bytes.data(), bytes.size());
    return in && std::string_view(bytes.data(), bytes.size()) == beginning;
}

std::filesystem::path database_of(const std::filesystem::path& file) {
    // A database whose beginning is destroyed is no configuration either; its name is what is left of it.
    if (is_database(file) || file.extension() == ".db") return file;
    return bench::load_config(file).database;
}

void for_each_event_of(const std::filesystem::path& file,
                       const std::function<void(const record::Event&)>& take) {
    if (!is_database(file)) {
        for (const record::Event& event : read_session_file(file))
            take(event);
        return;
    }
    const store::Store store = store::Store::open_to_read(file);
    const store::Transaction at_one_moment = store.snapshot();
    store.for_each_event(take);
}

}  // namespace pairmark::cli
