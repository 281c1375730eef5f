// The smallest host that keeps the protocol's promises: greets, puts a profile in force, keeps every event,
// acknowledges.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "firmware/sim/board.hpp"
#include "protocol/event_record.hpp"
#include "protocol/line.hpp"

namespace pairmark::sim {

class HostModel {
  public:
    /// Listens to the board's host port from now on. `profile` is put in force where another is.
    HostModel(Board& board, std::vector<uint8_t> profile);

    bool greeted() const { return greeted_; }            // since the adapter's last start
    bool profile_in_force() const { return in_force_; }  // since the adapter's last start
    unsigned hellos() const { return hellos_; }          // ever
    bool clashed() const { return clashed_; }            // a known number came with another check sum
    /// It was greeted with an id once and has none now.
    bool lost_identity() const { return lost_identity_; }
    const std::vector<std::string>& errors() const {
        return errors_;
    }  // ERROR and unreadable lines, as they came

    /// Told of each greeting, and of each event when it is held for the first time.
    std::function<void(bool reset, bool changed)> on_greeted;
    std::function<void(const protocol::EventLine&)> on_event;

    /// Another profile from here on.
    void use(std::vector<uint8_t> profile);
    /// What the host does now and then: a ping, and the profile once more where the adapter was busy.
    void tend();

    /// Another computer of the same store: it holds what that one holds.
    void hold_what(const HostModel& other);

    /// Every reading that it holds, in the order in which they first came.
    const std::vector<protocol::EventFields>& readings() const { return readings_; }

    /// Asks how many events wait; `waiting` is the answer to the newest ping, or -1 until it has come.
    void ping();
    int waiting() const { return waiting_; }

    /// The adapter lost its power: half a line is forgotten, what is stored is not.
    void adapter_went_away();

  private:
    void hear(uint8_t byte);
    void handle(const protocol::Line& line);
    void greet(const protocol::Line& hello);
    void keep(const protocol::Line& line);
    void send_piece(size_t at);
    void send(protocol::LineWriter& line);
    uint32_t highest_of(uint16_t epoch) const;

    Board& board_;
    std::vector<uint8_t> profile_;
    protocol::LineReader reader_;
    std::map<std::pair<uint16_t, uint32_t>, uint32_t> held_;  // epoch and number to check sum
    std::vector<protocol::EventFields> readings_;
    std::vector<std::string> errors_;
    bool greeted_ = false;
    bool in_force_ = false;
    bool clashed_ = false;
    unsigned hellos_ = 0;
    uint32_t pings_ = 0;
    int waiting_ = -1;
    bool lost_identity_ = false;
    bool busy_ = false;   // a profile was refused only because events wait
    uint32_t boot_ = 0;   // of the newest HELLO
    uint32_t epoch_ = 0;  // likewise
    uint32_t known_boot_ = 0;
    uint32_t known_epoch_ = 0;
};

}  // namespace pairmark::sim
