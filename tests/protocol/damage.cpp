#include <catch2/catch.hpp>
#include <cstdlib>
#include <random>

#include "tests/protocol/files.hpp"

using namespace pairmark::protocol;
using namespace pairmark::protocol::testing;

namespace {

std::vector<std::string> sample_lines() {
    std::vector<std::string> lines;
    const Json vectors = read_vectors("lines.json");
    for (const Json& row : vectors["good"])
        lines.push_back(row["line"].get<std::string>() + "\r\n");
    return lines;
}

// How many lines a stream of these bytes and a following line end gives.
unsigned lines_in(const std::string& bytes) {
    LineReader reader;
    for (const char c : bytes)
        reader.take(static_cast<std::uint8_t>(c));
    reader.take('\r');
    reader.take('\n');
    return reader.good();
}

}  // namespace

TEST_CASE("No line with one flipped bit is accepted") {
    unsigned tried = 0;
    for (const std::string& line : sample_lines()) {
        REQUIRE(lines_in(line) == 1);
        for (std::size_t bit = 0; bit < 8 * line.size(); ++bit) {
            std::string damaged = line;
            damaged[bit / 8] = static_cast<char>(damaged[bit / 8] ^ (1 << (bit % 8)));
            if (lines_in(damaged) != 0) FAIL_CHECK("bit " << bit << " of " << line);
            ++tried;
        }
    }
    CHECK(tried > 10000);
}

TEST_CASE("No line with one other byte is accepted") {
    unsigned tried = 0;
    for (const std::string& line : sample_lines()) {
        for (std::size_t at = 0; at < line.size(); ++at) {
            for (int value = 0; value < 256; ++value) {
                std::string damaged = line;
                damaged[at] = static_cast<char>(value);
                if (damaged == line) continue;
                if (lines_in(damaged) != 0) FAIL_CHECK("byte " << at << " as " << value << " of " << line);
                ++tried;
            }
        }
    }
    CHECK(tried > 300000);
}

// Between '@' and the asterisk: a byte before '@' or behind the line end belongs to no line.
TEST_CASE("No line with a byte lost, doubled or put in is accepted") {
    for (const std::string& line : sample_lines()) {
        for (std::size_t at = 0; at < line.size() - 2; ++at) {
            if (lines_in(line.substr(0, at) + line.substr(at + 1)) != 0)
                FAIL_CHECK("byte " << at << " lost: " << line);
            if (at == 0) continue;
            for (const char c : {line[at], ' ', '0', '*', 'A', '\0'})
                if (lines_in(line.substr(0, at) + c + line.substr(at)) != 0)
                    FAIL_CHECK("byte put in at " << at << ": " << line);
        }
    }
    CHECK(lines_in(sample_lines().front()) == 1);
}

TEST_CASE("No random corruption is accepted, in 200000 tries or 10 million (PAIRMARK_LONG=1), fixed seed") {
    const char* wish = std::getenv("PAIRMARK_LONG");
    const unsigned tries = wish != nullptr && std::string(wish) == "1" ? 10'000'000 : 200'000;
    std::mt19937 random(8421);
    const std::vector<std::string> lines = sample_lines();
    unsigned accepted = 0;
    unsigned changed = 0;
    for (unsigned i = 0; i < tries; ++i) {
        const std::string& line = lines[random() % lines.size()];
        std::string damaged = line.substr(0, line.size() - 2);
        const unsigned changes = 1 + random() % 6;
        for (unsigned k = 0; k < changes && !damaged.empty(); ++k) {
            const std::size_t at = random() % damaged.size();
            switch (random() % 5) {
                case 0:
                    damaged[at] = static_cast<char>(random());
                    break;
                case 1:
                    damaged[at] = static_cast<char>(0x20 + random() % 0x5F);
                    break;
                case 2:
                    damaged[at] = static_cast<char>(damaged[at] ^ (1 << (random() % 8)));
                    break;
                case 3:
                    damaged.erase(at, 1 + random() % 4);
                    break;
                default:
                    damaged.insert(at, damaged, random() % damaged.size(), 1 + random() % 4);
            }
        }
        if (damaged.find('@', 1) != std::string::npos) damaged.erase(damaged.find('@', 1));
        if (damaged + "\r\n" == line) continue;
        // A byte in front of '@' damages no line: it is garbage before one.
        if (damaged.empty() || damaged[0] != '@') continue;
        ++changed;
        Line read;
        if (parse_line(text_of(damaged), read) == LineFault::none) ++accepted;
    }
    CHECK(accepted == 0);
    CHECK(changed > tries / 4 * 3);
}
