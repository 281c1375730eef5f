// The byte map of the non-volatile memory (protocol/SPEC.md, "EEPROM"). Numbers are stored little end first.
// In every slot the CRC-32 is written last.
#pragma once

#include <stdint.h>

#include "firmware/core/board.hpp"
#include "protocol/bytes.hpp"
#include "protocol/event_record.hpp"
#include "protocol/profile.hpp"

namespace pairmark {
namespace firmware {
namespace layout {

// Settings, two slots. Byte 0 version (1), 1 flags (1 id given, 2 store known), 2 epoch u16, 4 sequence u32,
// 8 boot u16, 10 which slot this sequence was written to first (0 or 1), 11 zero, 12 id, 20 store id, 28 last
// number acknowledged before that store u32, 32 sequence of the profile in force u32, 36 CRC of bytes 0
// to 35.
constexpr uint16_t settings_at = 0x000;
constexpr uint16_t settings_slot = 64;
constexpr uint8_t settings_size = 40;
constexpr uint8_t settings_version = 1;

// Refused captures, three slots. Byte 0 sequence u16, 2 reason, 3 zero, 4 length u16, 6 place of the fault
// u16, 8 CRC of the whole capture u32, 12 its first 64 bytes (zero behind a shorter one), 76 CRC of bytes 0
// to 75.
constexpr uint16_t refused_at = 0x080;
constexpr uint8_t refused_size = 80;
constexpr uint8_t refused_slots = 3;
constexpr uint8_t refused_kept = 64;

// Profiles, two slots. Byte 0 sequence u32, 4 length u16, 6 zero u16, 8 CRC of length and body, 12 body. A
// slot whose first twelve bytes are FF is blank, whatever its body.
constexpr uint16_t profile_at = 0x180;
constexpr uint16_t profile_slot = 768;
constexpr uint8_t profile_header = 12;
constexpr uint8_t profile_crc_at = 8;
constexpr uint8_t profile_piece = 64;

// Outbox, 45 records of protocol/event_record.hpp.
constexpr uint16_t outbox_at = 0x780;
constexpr uint8_t outbox_slots = 45;

static_assert(settings_at + 2 * settings_slot == refused_at, "the map of SPEC.md");
static_assert(refused_at + refused_slots * refused_size <= profile_at, "the map of SPEC.md");
static_assert(profile_header + protocol::max_profile <= profile_slot, "the map of SPEC.md");
static_assert(profile_at + 2 * profile_slot == outbox_at, "the map of SPEC.md");
static_assert(outbox_at + outbox_slots * protocol::record_size <= 0xFF0, "the map of SPEC.md");

}  // namespace layout

using protocol::get16;
using protocol::get32;
using protocol::put16;
using protocol::put32;

/// Reads bytes of the memory, which must be ready.
void read_bytes(const Board& board, uint16_t at, uint8_t* bytes, uint16_t size);

/// What a slot held when it was read twice: a torn byte reads differently each time, so one right reading
/// proves little.
enum class SlotRead : uint8_t { blank, torn, same };

/// Reads a slot twice into `bytes`. `blank` if all FF both times, `torn` if the readings differ.
SlotRead read_slot(const Board& board, uint16_t at, uint8_t* bytes, uint8_t size);

}  // namespace firmware
}  // namespace pairmark
