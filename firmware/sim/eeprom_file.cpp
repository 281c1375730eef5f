#include "firmware/sim/eeprom_file.hpp"

#include <filesystem>
#include <fstream>
#include <stdexcept>

namespace pairmark::sim {

std::optional<EepromBytes> load_eeprom(const std::string& path) {
    if (!std::filesystem::exists(path)) return std::nullopt;
    std::ifstream file(path, std::ios::binary);
    EepromBytes cells;
    file.read(reinterpret_cast<char*>(cells.data()), static_cast<std::streamsize>(cells.size()));
    if (!file || file.gcount() != static_cast<std::streamsize>(cells.size()) || file.peek() != EOF)
        throw std::runtime_error(path +
                                 " is not an EEPROM of 4096 bytes; move it away to start with a fresh one");
    return cells;
}

void save_eeprom(const std::string& path, const EepromBytes& cells) {
    const std::string part = path + ".part";
    {
        std::ofstream file(part, std::ios::binary | std::ios::trunc);
        file.write(reinterpret_cast<const char*>(cells.data()), static_cast<std::streamsize>(cells.size()));
        if (!file.flush()) throw std::runtime_error("cannot write the EEPROM to " + part);
    }
    std::error_code wrong;
    std::filesystem::rename(part, path, wrong);
    if (wrong) throw std::runtime_error("cannot rename " + part + " to " + path + ": " + wrong.message());
}

}  // namespace pairmark::sim
