#include "firmware/sim/client_line.hpp"

#include <charconv>
#include <vector>

namespace pairmark::sim {
namespace {

std::vector<std::string_view> split(std::string_view text) {
    std::vector<std::string_view> words;
    while (!text.empty()) {
        const size_t end = std::min(text.find(' '), text.size());
        if (end != 0) words.push_back(text.substr(0, end));
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return words;
}

bool read_count(std::string_view text, uint64_t& value) {
    const auto [end, wrong] = std::from_chars(text.data(), text.data() + text.size(), value);
    return wrong == std::errc() && end == text.data() + text.size();
}

bool read_key(std::string_view name, BoardKey& key) {
    static constexpr std::string_view names[] = {"go", "down", "undo", "aside"};
    for (unsigned i = 0; i < 4; ++i)
        if (names[i] == name) {
            key = static_cast<BoardKey>(i);
            return true;
        }
    return false;
}

bool read_idle(const std::vector<std::string_view>& words, ClientLine& line) {
    bool wrote = false;
    for (size_t i = 1; i < words.size(); ++i) {
        const std::string_view word = words[i];
        if (word.starts_with("wrote="))
            wrote = read_count(word.substr(6), line.wrote);
        else if (word.starts_with("wake=") && word != "wake=never" &&
                 !read_count(word.substr(5), line.wake_us))
            return false;
    }
    return wrote;
}

}  // namespace

std::optional<ClientLine> read_client_line(std::string_view text, std::string& why) {
    using Kind = ClientLine::Kind;
    const auto words = split(text);
    ClientLine line;
    why = "unknown line";
    if (words.empty()) return std::nullopt;
    const std::string_view kind = words[0];
    if (kind == "join") {
        why = "expected: join NAME [timed]";
        if (words.size() < 2 || words.size() > 3 || (words.size() == 3 && words[2] != "timed"))
            return std::nullopt;
        line.kind = Kind::join;
        line.name = words[1];
        line.timed = words.size() == 3;
    } else if (kind == "key") {
        why = "expected: key go|down|undo|aside down|up";
        if (words.size() != 3 || !read_key(words[1], line.key) || (words[2] != "down" && words[2] != "up"))
            return std::nullopt;
        line.kind = Kind::key;
        line.down = words[2] == "down";
    } else if (kind == "power") {
        why = "expected: power cut|on";
        if (words.size() != 2 || (words[1] != "cut" && words[1] != "on")) return std::nullopt;
        line.kind = words[1] == "cut" ? Kind::power_cut : Kind::power_on;
    } else if (kind == "idle") {
        why = "expected: idle wrote=BYTES wake=MICROSECONDS|never";
        line.kind = Kind::idle;
        if (!read_idle(words, line)) return std::nullopt;
    } else if (words.size() == 1 && kind == "reset") {
        line.kind = Kind::reset;
    } else if (words.size() == 1 && kind == "save") {
        line.kind = Kind::save;
    } else {
        return std::nullopt;
    }
    why.clear();
    return line;
}

}  // namespace pairmark::sim
