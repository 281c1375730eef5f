#include "host/label/frame_words.hpp"

#include <array>
#include <charconv>

namespace pairmark::label {
namespace {

struct Numbers {
    int boxed_width = 0;
    int between = 0;
    int side = 0;
};

// Three numbers with a dash between, each in its usual range.
std::optional<Numbers> numbers_of(const std::string& size) {
    std::array<int, 3> found{};
    const char* at = size.data();
    const char* const end = at + size.size();
    for (std::size_t i = 0; i < found.size(); ++i) {
        if (i > 0 && (at == end || *at++ != '-')) return std::nullopt;
        if (at == end || *at < '1' || *at > '9') return std::nullopt;  // no sign, no leading zero
        const auto [next, error] = std::from_chars(at, end, found[i]);
        if (error != std::errc()) return std::nullopt;
        at = next;
    }
    const auto within = [](int value, int least, int most) { return value >= least && value <= most; };
    if (at != end || !within(found[0], 20, 80) || !within(found[1], 5, 40) || !within(found[2], 60, 180))
        return std::nullopt;
    return Numbers{found[0], found[1], found[2]};
}

}  // namespace

std::optional<std::string> fault_in_frame_size(const std::string& size) {
    if (size == "S" || size == "M" || size == "L" || numbers_of(size)) return std::nullopt;
    return "it is S, M, L, or boxed width, distance between lenses and side in mm, like 52-18-140";
}

std::vector<std::string> frame_words(const record::LabelFacts& facts) {
    std::vector<std::string> words;
    if (const auto size = numbers_of(facts.frame_size)) {
        words.push_back(std::to_string(size->boxed_width) + "\u25a1" + std::to_string(size->between) + ' ' +
                        std::to_string(size->side));
    } else if (!facts.frame_size.empty()) {
        words.push_back("size " + facts.frame_size);
    }
    if (!facts.wearer.empty()) words.push_back(facts.wearer);
    if (facts.style == "either")
        words.emplace_back("unisex");
    else if (!facts.style.empty())
        words.push_back(facts.style + "'s");
    if (facts.rim == "none")
        words.emplace_back("rimless");
    else if (!facts.rim.empty())
        words.push_back(facts.rim + " rim");
    if (facts.single_vision) words.emplace_back("single vision");
    return words;
}

}  // namespace pairmark::label
