// SHA-256, by which a text is named where it was in force.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace pairmark::record {

/// The hash of bytes that come in pieces.
class Sha256 {
  public:
    void add(std::string_view bytes);
    /// 64 lower-case hex digits. The object must not be used afterwards.
    std::string finish();

  private:
    void take_block(const unsigned char* block);
    std::array<std::uint32_t, 8> state_{0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a,
                                        0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
    std::array<unsigned char, 64> block_{};
    std::size_t in_block_ = 0;
    std::uint64_t size_ = 0;
};

/// The hash of a whole text.
std::string sha256(std::string_view text);

}  // namespace pairmark::record
