// What a lens meter cannot see, as a person names it.
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace pairmark::record {

/// Marks of a pair: name to value, both from the vocabulary ("carrier" takes any text). A name that is absent
/// is unknown, never "none".
using Marks = std::map<std::string, std::string>;

struct MarkWord {
    std::string_view name;
    std::vector<std::string_view> values;  // empty: any text of 1 to 32 printable characters
    std::string_view in_order;  // the value that "looked over, all in order" gives; empty: it says nothing
    std::string_view what;      // for people
    std::string_view form{};    // what is taken beside `values`, for people; empty: nothing else
};

/// Every mark there is. docs/rules.md lists the same; a test compares them.
std::span<const MarkWord> mark_vocabulary();

/// Nullopt if `name=value` is in the vocabulary, else a sentence that says what was expected, with the
/// nearest word.
std::optional<std::string> fault_in_mark(std::string_view name, std::string_view value);

/// What "looked over, all in order" says: every mark with an in-order value, at that value.
Marks all_in_order();

}  // namespace pairmark::record
