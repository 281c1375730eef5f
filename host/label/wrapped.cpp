#include "host/label/wrapped.hpp"

namespace pairmark::label {
namespace {

/// The text's characters, some bytes each.
std::vector<std::string> characters_of(const std::string& text) {
    std::vector<std::string> all;
    for (const char c : text) {
        const bool goes_on = (static_cast<unsigned char>(c) & 0xC0U) == 0x80U;
        if (goes_on && !all.empty())
            all.back() += c;
        else
            all.emplace_back(1, c);
    }
    return all;
}

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/// A number and its unit are one word.
bool belongs_to(const std::string& number, const std::string& unit) {
    return is_digit(number.back()) && unit.size() <= 4 && !is_digit(unit.front()) &&
           unit.find_first_of("-(") == std::string::npos;
}

std::vector<std::string> words_of(const std::string& text) {
    std::vector<std::string> words;
    std::size_t from = 0;
    while (from < text.size()) {
        const std::size_t to = std::min(text.find(' ', from), text.size());
        const std::string word = text.substr(from, to - from);
        if (!word.empty() && !words.empty() && belongs_to(words.back(), word))
            words.back() += " " + word;
        else if (!word.empty())
            words.push_back(word);
        from = to + 1;
    }
    return words;
}

}  // namespace

std::vector<std::string> wrapped(const std::string& text, double size_pt, double width_mm,
                                 const Measure& measure) {
    // Widths add up: the font has no kerning.
    const double blank = measure(" ", size_pt);
    std::vector<std::string> lines(1);
    double used = 0;
    for (const std::string& word : words_of(text)) {
        const double width = measure(word, size_pt);
        if (!lines.back().empty() && used + blank + width <= width_mm) {
            lines.back() += " " + word;
            used += blank + width;
            continue;
        }
        if (!lines.back().empty()) lines.emplace_back();
        used = 0;
        if (width <= width_mm) {
            lines.back() = word;
            used = width;
            continue;
        }
        for (const std::string& character : characters_of(word)) {
            const double more = measure(character, size_pt);
            if (!lines.back().empty() && used + more > width_mm) {
                lines.emplace_back();
                used = 0;
            }
            lines.back() += character;
            used += more;
        }
    }
    return lines;
}

}  // namespace pairmark::label
