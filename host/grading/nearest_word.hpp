// The nearest of the words that would have been right.
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace pairmark::grading {

/// The number of single letters to add, drop, exchange or swap with their neighbour to make one word of the
/// other.
std::size_t letters_apart(std::string_view a, std::string_view b);

/// The nearest of `words`, or empty if none is near: more than a third of the letters apart.
std::string_view nearest_word(std::string_view word, std::span<const std::string_view> words);

/// `; did you mean "over"?` or nothing, to end a sentence with.
std::string did_you_mean(std::string_view word, std::span<const std::string_view> words);

/// `"over", "under" or "at_most"`.
std::string one_of(std::span<const std::string_view> words);

}  // namespace pairmark::grading
