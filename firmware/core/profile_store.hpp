// The instrument profile in force, and a new one arriving in pieces. Two slots: the new one grows in the slot
// that is not in force; a cut at any moment leaves one of the two in force, never a mixture.
//
// A profile is in force for certain only when the settings name its sequence too. One that is newer than the
// settings say was cut between its own last byte and the settings; its check sum is then written again before
// it is used.
#pragma once

#include <stdint.h>

#include "firmware/core/board.hpp"
#include "firmware/core/eeprom_writer.hpp"
#include "firmware/core/settings.hpp"
#include "protocol/profile.hpp"

namespace pairmark {
namespace firmware {

class ProfileStore {
  public:
    enum class Answer : uint8_t {
        later,
        took,
        done,
        out_of_order,
        too_big,
        busy,
        incomplete,
        wrong_crc,
        bad_form
    };

    /// Reads both slots; returns how many were torn. `in_force` is the sequence that the settings name.
    uint8_t scan(const Board& board, uint32_t in_force);

    /// Recovery after `scan`: mends torn slots and a profile that was just being committed. True when
    /// finished.
    bool recover(EepromWriter& writer, Settings& settings);

    /// The profile in force; not open if there is none. Its bytes live in this object.
    const protocol::Profile& profile() const { return profile_; }
    /// While a new profile is being put in force no capture may be read.
    bool switching() const { return stage_ == Stage::commit || stage_ == Stage::name_it; }

    /// Something is being written.
    bool busy() const { return stage_ != Stage::rest; }

    /// A piece (at most 64 bytes) of a new profile of `of` bytes. `later`: the answer comes out of
    /// `take_answer`.
    Answer part(uint32_t at, uint32_t of, const uint8_t* bytes, uint8_t size);
    /// Puts the pieces in force. Needs a ready memory.
    Answer commit(const Board& board, uint32_t length, uint32_t crc);
    /// Why the last commit had a bad form, for people.
    const char* why() const { return why_; }
    bool take_answer(Answer& answer, uint16_t& at);
    /// Forgets a half upload.
    void forget_upload();

    void pump(EepromWriter& writer, Settings& settings);

  private:
    enum class Stage : uint8_t { rest, blank_crc, blank_rest, piece, commit, name_it };
    enum class Slot : uint8_t { blank, torn, good };

    Slot look_at(const Board& board, uint8_t slot, uint32_t& sequence, uint16_t& length);  // overwrites body_
    void pack_header(uint8_t* header, uint32_t sequence, uint16_t length) const;  // of the profile in body_
    bool load(const Board& board, uint8_t slot, uint16_t length);
    static uint16_t address_of(uint8_t slot);

    uint8_t body_[protocol::max_profile];
    protocol::Profile profile_;
    const char* why_;
    uint32_t sequence_;  // in force, 0 none
    uint16_t length_;
    uint8_t slot_ = 1;  // in force; an upload goes to the other
    bool torn_[2];
    bool header_blank_[2];
    bool confirm_;  // newer than the settings say
    uint8_t mending_;

    Stage stage_;
    EepromWriter::Ticket ticket_;
    bool started_;  // the stage's job was handed to the writer
    uint8_t piece_[layout::profile_piece];
    uint8_t piece_size_;
    uint16_t piece_at_;
    uint16_t upload_at_;  // next byte expected
    uint16_t upload_of_;
    Answer answer_;
    uint16_t answer_at_;
};

}  // namespace firmware
}  // namespace pairmark
