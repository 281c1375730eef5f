// Telling a store that goes on from one that was restored or copied, so that no label's number is given
// twice.
//
// At every opening a new random number is written into the database and into a file beside it. A database
// that was put back from a copy has an older number than the file; a copied pair of files has another inode
// than the one written down. Either way the store begins a new series. Not noticed: a whole disk put back, or
// both files overwritten in place.
//
// The file is one line: "pairmark-generation 1 NEW OLD INODE SERIES". OLD is "-" except between the moments
// when the file and the database are written; a crash there leaves a database that still fits. SERIES is the
// newest series in use, so that one copy put back twice does not begin the same series twice.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

namespace pairmark::store {

struct Generation {
    std::string current;                // 16 hex digits
    std::optional<std::string> before;  // set while a renewal is on its way
    std::uint64_t inode = 0;            // of the database file
    std::string series;
};

/// Nullopt if there is no such file or it can't be understood. Throws StoreFault if it is a link.
std::optional<Generation> read_generation(const std::filesystem::path& file);
/// Replaces the file in one step, durably. Throws StoreFault.
void write_generation(const std::filesystem::path& file, const Generation& generation);

/// The series after this one: A, B, ..., Z, AA, AB, ... Precondition: capital letters only.
std::string next_series(std::string_view series);
/// The later of two series.
std::string later_series(std::string_view a, std::string_view b);

}  // namespace pairmark::store
