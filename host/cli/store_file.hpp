// Files that may be a store, a session or a configuration: told apart by what is in them.
#pragma once

#include <filesystem>
#include <functional>
#include <string>

#include "host/record/event.hpp"

namespace pairmark::cli {

/// True for an SQLite database. False also if it cannot be read.
bool is_database(const std::filesystem::path& file);

/// The database that is named: the file itself, or the database of the configuration that it is. Throws
/// bench::BadConfig.
std::filesystem::path database_of(const std::filesystem::path& database_or_config);

/// Events of a store (which a daemon may have open) or of an exported session, in order. Throws
/// store::StoreFault, store::StoreFailure, record::BadRecord or std::runtime_error with what is wrong and
/// where.
void for_each_event_of(const std::filesystem::path& file,
                       const std::function<void(const record::Event&)>& take);

}  // namespace pairmark::cli
