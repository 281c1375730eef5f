// Check sums by the names of the catalogue of CRC algorithms (CRC RevEng).
#pragma once

#include <cstdint>
#include <string_view>

namespace pairmark::learn {

struct CheckSumForm {
    std::uint8_t kind;  // protocol::CheckSumKind
    std::uint8_t bits;
    std::uint16_t polynomial;
    std::uint16_t initial;  // the register at the start, in the register's own bit order
    std::uint16_t final_xor;
    friend bool operator==(const CheckSumForm&, const CheckSumForm&) = default;
};

/// Null if the name is not known.
const CheckSumForm* check_sum_named(std::string_view name);
/// Empty if the form has no name.
std::string_view name_of(const CheckSumForm& form);
/// All names, joined by commas, for a person.
std::string_view all_check_sum_names();

}  // namespace pairmark::learn
