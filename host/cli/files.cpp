#include "host/cli/files.hpp"

#include <fstream>
#include <iterator>
#include <stdexcept>
#include <system_error>

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

void write_whole(const std::filesystem::path& file, std::string_view bytes) {
    const std::filesystem::path part = file.string() + ".part";
    std::ofstream out(part, std::ios::binary | std::ios::trunc);
    out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    out.close();
    std::error_code error;
    if (out) std::filesystem::rename(part, file, error);
    if (!out || error) {
        std::error_code ignored;
        std::filesystem::remove(part, ignored);
        throw std::runtime_error("cannot write " + file.string() +
                                 "; check the folder, its permissions and the free space");
    }
}

}  // namespace pairmark::cli
