#include "host/bench/csv.hpp"

namespace pairmark::bench {
namespace {

std::string quoted(const std::string& text) {
    std::string cell;
    for (const char c : text)
        cell += c == '"' ? std::string("\"\"") : std::string(1, c);
    return text.find_first_of(",\"\r\n") == std::string::npos ? cell : '"' + cell + '"';
}

}  // namespace

std::string words_cell(const std::string& text) {
    const bool like_formula =
        !text.empty() && std::string("=+-@\t\r").find(text.front()) != std::string::npos;
    return quoted(like_formula ? "'" + text : text);
}

}  // namespace pairmark::bench
