// The questions that pairing puts, and their answers. docs/pairs.md lists the same; a test compares them.
#pragma once

#include <array>
#include <string_view>

#include "host/record/pair.hpp"

namespace pairmark::pairing {

namespace ask {
inline constexpr std::string_view same_lens_twice = "same-lens-twice";
inline constexpr std::string_view two_places = "two-places";
inline constexpr std::string_view not_cleared = "not-cleared";
inline constexpr std::string_view after_restart = "after-restart";
inline constexpr std::string_view half_pair_old = "half-pair-old";
inline constexpr std::string_view half_pair_left_behind = "half-pair-left-behind";
inline constexpr std::string_view not_looked_over = "not-looked-over";
inline constexpr std::string_view set_aside = "set-aside";

inline constexpr std::array all = {same_lens_twice, two_places,      not_cleared,           after_restart,
                                   half_pair_old,   not_looked_over, half_pair_left_behind, set_aside};
}  // namespace ask

namespace answer {
inline constexpr std::string_view same_lens = "same-lens";
inline constexpr std::string_view other_lens = "other-lens";
inline constexpr std::string_view another_pair = "another-pair";
inline constexpr std::string_view two_places = "two-places";
inline constexpr std::string_view measure_again = "measure-again";
inline constexpr std::string_view same_powers = "same-powers";
inline constexpr std::string_view same_pair = "same-pair";
inline constexpr std::string_view go_on_with_it = "go-on-with-it";
inline constexpr std::string_view in_order = "in-order";
}  // namespace answer

/// The question with its sentence and its choices. `id` is one of ask::all; `eye` is the lens in question,
/// where the question is about one.
record::Question question(std::string_view id, record::Eye eye = record::Eye::right);

/// The same-lens-twice question where the second reading has so much more plus that it looks like the near
/// part of a segment or progressive: "go on" must then not take it for the lens's power.
record::Question question_of_a_near_part(record::Eye eye);

bool has_question(const record::Pair& pair, std::string_view id);
void remove_question(record::Pair& pair, std::string_view id);

}  // namespace pairmark::pairing
