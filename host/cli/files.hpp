// Files that commands read, with errors that say what to do.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "host/record/event.hpp"

namespace pairmark::cli {

/// A whole file. Throws std::runtime_error with its name if it cannot be read.
std::string read_file(const std::filesystem::path& file);
/// An exported session. Throws std::runtime_error or record::BadRecord, with the file's name.
std::vector<record::Event> read_session_file(const std::filesystem::path& file);

}  // namespace pairmark::cli
