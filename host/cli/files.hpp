// Files that commands read, with errors that say what to do.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "host/record/event.hpp"

namespace pairmark::cli {

/// A whole file. Throws std::runtime_error with its name if it cannot be read.
std::string read_file(const std::filesystem::path& file);
/// An exported session. Throws std::runtime_error or record::BadRecord, with the file's name.
std::vector<record::Event> read_session_file(const std::filesystem::path& file);

/// Writes a whole file, in the place of one that may be there: a full disk does not leave half a file under
/// that name. Throws std::runtime_error with its name.
void write_whole(const std::filesystem::path& file, std::string_view bytes);

}  // namespace pairmark::cli
