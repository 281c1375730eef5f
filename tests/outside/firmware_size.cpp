// The image weighed by an outside program: avr-size of GNU binutils, format "Berkeley" (text, data, bss).
#include <array>
#include <catch2/catch.hpp>
#include <cstdio>
#include <sstream>
#include <string>

#include "tests/trees.hpp"

namespace {

struct Weight {
    unsigned long text = 0;
    unsigned long data = 0;
    unsigned long bss = 0;
};

std::string output_of(const std::string& command) {
    std::string output;
    FILE* const pipe = popen(command.c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::array<char, 256> piece{};
    while (std::fgets(piece.data(), piece.size(), pipe) != nullptr)
        output += piece.data();
    REQUIRE(pclose(pipe) == 0);
    return output;
}

Weight weigh(const std::string& image) {
    std::istringstream lines(output_of("avr-size '" + image + "'"));
    std::string titles;
    Weight weight;
    REQUIRE(std::getline(lines, titles));
    REQUIRE(titles.find("text") < titles.find("bss"));
    REQUIRE(lines >> weight.text >> weight.data >> weight.bss);
    return weight;
}

}  // namespace

TEST_CASE(
    "avr-size: the firmware keeps to its 32 KiB of flash, and leaves the stack its part of 4 KiB of RAM") {
    const Weight weight = weigh(pairmark::tests::in_build_tree("firmware/pairmark-adapter.elf"));
    CHECK(weight.text > 16'384);  // an image with half of its code missing is not a light one
    CHECK(weight.text + weight.data <= 32'768);
    // 4096 bytes are allowed to variables and stack together; 1152 of them are the stack's
    // (firmware/hardware).
    CHECK(weight.data + weight.bss <= 4'096 - 1'152);
    CHECK(weight.data + weight.bss > 1'024);
}
