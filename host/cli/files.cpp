#include "host/cli/files.hpp"

#include <fstream>
#include <iterator>
#include <stdexcept>

#include "host/record/json.hpp"
#include "host/store/session.hpp"

namespace pairmark::cli {

std::string read_file(const std::filesystem::path& file) {
    if (std::filesystem::is_directory(file))
        throw std::runtime_error("cannot read " + file.string() + ": it is a folder; name a file");
    std::ifstream in(file, std::ios::binary);
    std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
    if (!in)
        throw std::runtime_error("cannot read " + file.string() + "; check its name and its permissions");
    return text;
}

std::vector<record::Event> read_session_file(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    if (!in || std::filesystem::is_directory(file))
        throw std::runtime_error("cannot read " + file.string() + "; check its name and its permissions");
    try {
        return store::read_session(in);
    } catch (const record::BadRecord& bad) {
        throw record::BadRecord(file.string() + ": " + bad.what());
    }
}

}  // namespace pairmark::cli
