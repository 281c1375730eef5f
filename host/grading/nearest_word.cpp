#include "host/grading/nearest_word.hpp"

#include <algorithm>
#include <cctype>
#include <vector>

namespace pairmark::grading {

namespace {

constexpr std::size_t longest = 64;  // of a word that is worth a guess

std::string lower_case(std::string_view word) {
    std::string lower(word);
    for (char& c : lower) {
        c = c == '-' || c == ' ' ? '_' : static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    }
    return lower;
}

}  // namespace

std::size_t letters_apart(std::string_view a, std::string_view b) {
    // The table of Damerau's restricted distance, three rows at a time.
    std::vector<std::size_t> before(b.size() + 1);
    std::vector<std::size_t> last(b.size() + 1);
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) {
        last[j] = j;
    }
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t exchanged = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
            row[j] = std::min({exchanged, last[j] + 1, row[j - 1] + 1});
            const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if (swapped) row[j] = std::min(row[j], before[j - 2] + 1);
        }
        before.swap(last);
        last.swap(row);
    }
    return last[b.size()];
}

std::string_view nearest_word(std::string_view word, std::span<const std::string_view> words) {
    if (word.size() > longest) return {};
    const std::string wanted = lower_case(word);
    std::string_view nearest;
    std::size_t least = std::max<std::size_t>(1, word.size() / 3) + 1;
    for (const std::string_view candidate : words) {
        const std::size_t apart = letters_apart(wanted, candidate);
        if (apart < least) {
            least = apart;
            nearest = candidate;
        }
    }
    return nearest;
}

std::string did_you_mean(std::string_view word, std::span<const std::string_view> words) {
    const std::string_view nearest = nearest_word(word, words);
    return nearest.empty() ? "" : "; did you mean \"" + std::string(nearest) + "\"?";
}

std::string one_of(std::span<const std::string_view> words) {
    std::string all;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (i > 0) all += i + 1 == words.size() ? " or " : ", ";
        all += '"' + std::string(words[i]) + '"';
    }
    return all;
}

}  // namespace pairmark::grading
