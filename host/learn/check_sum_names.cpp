#include "host/learn/check_sum_names.hpp"

#include <array>
#include <string>

#include "protocol/profile_items.hpp"

namespace pairmark::learn {

namespace {

using namespace protocol;

struct Entry {
    std::string_view name;
    CheckSumForm form;
};

// Parameters: catalogue of CRC algorithms. All initial values here read the same in either bit order.
constexpr std::array<Entry, 21> entries{{
    {"sum", {check_sum, 8, 0, 0, 0}},
    {"sum7", {check_sum, 7, 0, 0, 0}},
    {"sum16", {check_sum, 16, 0, 0, 0}},
    {"xor", {check_xor, 8, 0, 0, 0}},
    {"xor7", {check_xor, 7, 0, 0, 0}},
    {"xor16", {check_xor, 16, 0, 0, 0}},
    {"negated_sum", {check_negated_sum, 8, 0, 0, 0}},
    {"negated_sum7", {check_negated_sum, 7, 0, 0, 0}},
    {"negated_sum16", {check_negated_sum, 16, 0, 0, 0}},
    {"CRC-8/SMBUS", {check_crc, 8, 0x07, 0, 0}},
    {"CRC-8/MAXIM-DOW", {check_crc_reflected, 8, 0x31, 0, 0}},
    {"CRC-16/ARC", {check_crc_reflected, 16, 0x8005, 0, 0}},
    {"CRC-16/MODBUS", {check_crc_reflected, 16, 0x8005, 0xFFFF, 0}},
    {"CRC-16/USB", {check_crc_reflected, 16, 0x8005, 0xFFFF, 0xFFFF}},
    {"CRC-16/XMODEM", {check_crc, 16, 0x1021, 0, 0}},
    {"CRC-16/IBM-3740", {check_crc, 16, 0x1021, 0xFFFF, 0}},
    {"CRC-16/GENIBUS", {check_crc, 16, 0x1021, 0xFFFF, 0xFFFF}},
    {"CRC-16/KERMIT", {check_crc_reflected, 16, 0x1021, 0, 0}},
    {"CRC-16/MCRF4XX", {check_crc_reflected, 16, 0x1021, 0xFFFF, 0}},
    {"CRC-16/IBM-SDLC", {check_crc_reflected, 16, 0x1021, 0xFFFF, 0xFFFF}},
    {"CRC-16/SPI-FUJITSU", {check_crc, 16, 0x1021, 0x1D0F, 0}},
}};

}  // namespace

const CheckSumForm* check_sum_named(std::string_view name) {
    for (const Entry& entry : entries)
        if (entry.name == name) return &entry.form;
    return nullptr;
}

std::string_view name_of(const CheckSumForm& form) {
    for (const Entry& entry : entries)
        if (entry.form == form) return entry.name;
    return {};
}

std::string_view all_check_sum_names() {
    static const std::string all = [] {
        std::string list;
        for (const Entry& entry : entries)
            list += (list.empty() ? "" : ", ") + std::string(entry.name);
        return list;
    }();
    return all;
}

}  // namespace pairmark::learn
