// The adapter's real image on the simulated board, with somebody at both cables who writes every line by
// hand.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "firmware/sim/board.hpp"
#include "protocol/line.hpp"

namespace pairmark::sim {

/// One line that the adapter sent, without CR LF.
struct Said {
    std::string text;
    std::string kind;
    /// The value of a key; "(absent)" if there is none.
    std::string value(const char* key) const;
};

/// A line with its check sum and its end.
std::string signed_line(const std::string& body);
std::vector<uint8_t> bytes_from_hex(std::string_view hex);

class AdapterBench {
  public:
    /// Switches on and waits for the first HELLO.
    AdapterBench();
    AdapterBench(const AdapterBench&) = delete;
    AdapterBench& operator=(const AdapterBench&) = delete;

    void pass(unsigned ms) { board.run_for(uint64_t{ms} * (clock_hz / 1000)); }
    void send(std::string_view bytes);
    void say(const std::string& body) { send(signed_line(body)); }
    void print(std::string_view capture);

    /// Waits for a line of that kind, for `ms` at most; forgets it and all before it. An empty kind if none
    /// came.
    Said hear(const std::string& kind, unsigned ms = 500);
    /// Everything not yet heard.
    std::vector<Said> take_all();

    /// From a blank memory to a greeted adapter with an id and this profile in force. False if it does not
    /// get there.
    bool set_up(const std::vector<uint8_t>& profile);
    bool greet();
    bool upload(const std::vector<uint8_t>& profile);
    /// The answer to a question for STATUS, one number of it; 0xFFFFFFFF if it did not come.
    uint32_t status(const char* key);
    void acknowledge(const Said& event);

    unsigned damaged() const { return static_cast<unsigned>(reader_.damaged()); }  // lines from the adapter

    Board board;

  private:
    protocol::LineReader reader_;
    std::vector<Said> said_;
};

}  // namespace pairmark::sim
