#include "host/label/frame_words.hpp"

namespace pairmark::label {
namespace {

/// "52-18-140" as the boxing system writes it; S, M and L stay as they are.
std::string size_words(std::string size) {
    const std::size_t first = size.find('-');
    const std::size_t second = size.rfind('-');
    if (first == second) return "size " + size;
    size.replace(second, 1, " ");
    return size.replace(first, 1, "\u25a1");
}

}  // namespace

std::vector<std::string> frame_words(const record::LabelFacts& facts) {
    std::vector<std::string> words;
    if (!facts.frame_size.empty()) words.push_back(size_words(facts.frame_size));
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
