// The EEPROM between two runs of the simulator: a file of its 4096 bytes.
#pragma once

#include <optional>
#include <string>

#include "firmware/sim/eeprom_model.hpp"

namespace pairmark::sim {

/// The bytes of the file; nothing if there is no such file. Throws std::runtime_error if there is one that
/// cannot be read or has another size: it is then not overwritten with a fresh EEPROM either.
std::optional<EepromBytes> load_eeprom(const std::string& path);

/// Writes beside the file, then renames, so that a half-written file never replaces a whole one. Throws
/// std::runtime_error if that fails.
void save_eeprom(const std::string& path, const EepromBytes& cells);

}  // namespace pairmark::sim
