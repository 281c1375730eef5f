// A store's events as a text file that anyone can read and carry away: JSON Lines.
//
//   {"pairmark-session":1,"store":"0123456789ABCDEF","version":"0.1.0"}
//   {"at":"...","body":{...},"kind":"started","seq":1}
//   ...
//   {"end":true,"events":N,"sha256":"..."}
//
// The hash is over every byte before the last line.
//
// Trust: a session comes from anywhere. Invariants, for any bytes whatever:
//   S1  all or nothing: no event of a file with a mistake is handed out;
//   S2  a file that was cut at any byte, or changed before its last line, is refused;
//   S3  events are numbered from 1 without gaps, each within record/json.hpp's R1 to R3, and no adapter's
//   event comes twice; S4  no line longer than longest_line is taken into memory.
#pragma once

#include <cstddef>
#include <cstdint>
#include <istream>
#include <nlohmann/json.hpp>
#include <ostream>
#include <string>
#include <vector>

#include "host/record/event.hpp"
#include "host/record/sha256.hpp"
#include "host/store/store.hpp"

namespace pairmark::store {

constexpr std::size_t longest_line = 4U << 20;  // bytes; a line carries the rules' whole text

/// Writes a session line by line. `out` must outlive it; its state is the caller's to look at.
class SessionWriter {
  public:
    /// Writes the header. `store_id` is 16 hex digits.
    SessionWriter(std::ostream& out, const std::string& store_id);
    /// Events come numbered from 1, without gaps.
    void add(const record::Event& event);
    /// Writes the last line; nothing may be added afterwards.
    void finish();

  private:
    void put(const nlohmann::json& line);
    std::ostream& out_;
    record::Sha256 hash_;
    std::int64_t events_ = 0;
};

/// Writes every event as of now, texts included; returns how many. The caller looks at the stream's state.
/// Throws StoreFailure or BadRecord if the store can't be read. Not inside a transaction.
std::int64_t export_session(const Store& store, std::ostream& out);

/// Reads a session. Throws record::BadRecord, which names the line.
std::vector<record::Event> read_session(std::istream& in);

}  // namespace pairmark::store
