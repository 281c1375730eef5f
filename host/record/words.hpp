// Words and text as they stand in JSON, in sentences and in the store.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "host/record/event.hpp"
#include "host/record/pair.hpp"

namespace pairmark::record {

/// The word of a value in JSON, and back; nullopt if no value has that word.
std::string_view word(Key key);        // "go-on", "turn-down", "undo", "set-aside"
std::string_view word(Source source);  // "instrument", "typed"
std::optional<Key> key_from(std::string_view word);
std::optional<Source> source_from(std::string_view word);
std::optional<Eye> eye_from(std::string_view word);
std::optional<PairState> pair_state_from(std::string_view word);

/// Foreign text for a sentence: in quotation marks, cut after 40 bytes, every byte outside printable ASCII as
/// \xNN, so that it can stand in a log or on a terminal.
std::string in_quotes(std::string_view foreign);

/// True if `text` is UTF-8 (no surrogates, nothing overlong). `characters`, if given, receives how many
/// characters it has, or -1 if one of them is a control character.
bool is_utf8(std::string_view text, int* characters = nullptr);

bool is_hex(std::string_view text, std::size_t digits);
bool is_date(std::string_view text);    // YYYY-MM-DD, a day that exists
bool is_moment(std::string_view text);  // YYYY-MM-DDThh:mm:ss.mmmZ

}  // namespace pairmark::record
