// A serial port of the board as the rest of the computer sees it: a pseudo-terminal and a link to it.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace pairmark::sim {

/// The slave end is set raw and held open here for as long as this object lives, so that a program that
/// closes its end and opens it again finds the same port. Bytes that nobody reads are dropped once the
/// terminal is full.
class PtyPort {
  public:
    /// Makes the pseudo-terminal, and a symbolic link `link` to its slave end. An old link there is replaced;
    /// anything else is not. Throws std::runtime_error.
    explicit PtyPort(std::string link);
    ~PtyPort();
    PtyPort(const PtyPort&) = delete;
    PtyPort& operator=(const PtyPort&) = delete;

    /// Towards the program. Counts what the terminal took.
    void send(std::string_view bytes);
    uint64_t sent() const { return sent_; }

    /// What the program has written by now; at most `limit` bytes.
    std::vector<uint8_t> receive(size_t limit = 65536);
    /// Exactly `count` bytes, waiting up to `patience_ms` for each next piece; fewer if they do not come.
    std::vector<uint8_t> receive_exactly(size_t count, int patience_ms);

    int descriptor() const { return master_; }

  private:
    std::string link_;
    int master_ = -1;
    int slave_ = -1;
    uint64_t sent_ = 0;
};

}  // namespace pairmark::sim
