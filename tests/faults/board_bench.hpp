// A board on the bench with the test image in it, and somebody who talks to it.
#pragma once

#include <string>
#include <string_view>

#include "firmware/sim/board.hpp"
#include "tests/trees.hpp"

namespace pairmark::sim {

inline std::string image(const char* name) {
    return tests::in_build_tree(std::string("tests/faults/") + name + ".elf");
}

constexpr uint64_t ms = clock_hz / 1000;

struct Bench {
    explicit Bench(const char* name = "exercise") : board(image(name)) {
        board.host_port().on_sent = [this](uint8_t byte) { said += static_cast<char>(byte); };
        board.power_on();
        board.run_for(2 * ms);
    }
    void say(std::string_view bytes) {
        for (const char byte : bytes)
            board.host_port().feed(static_cast<uint8_t>(byte));
    }
    /// Runs until the image has said that many bytes more; what it said.
    std::string hear(size_t count, uint64_t patience = 500 * ms) {
        board.run_until([&] { return said.size() >= count; }, patience);
        std::string heard = said;
        said.clear();
        return heard;
    }
    std::string ask(std::string_view bytes, size_t count) {
        say(bytes);
        return hear(count);
    }
    Board board;
    std::string said;
};

}  // namespace pairmark::sim
