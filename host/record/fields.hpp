// Reading one JSON object strictly: every member is asked for by name, type and range, and what was not asked
// for is refused. A mistake is told with its place, as in `body.reading.lenses[0].axis: expected a number
// from 0 to 180`.
#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "host/optics/power.hpp"

namespace pairmark::record {

/// Members whose name begins with "x-" are somebody else's and ignored. An optional member may be absent or
/// null. Every function throws BadRecord. `json` and the names given must outlive the object.
class Fields {
  public:
    /// `where` is the object's own place, empty for the outermost.
    Fields(const nlohmann::json& json, std::string where);

    const nlohmann::json& required(const char* name);
    const nlohmann::json* optional(const char* name);  // null if absent or null

    std::string text(const char* name);  // UTF-8, any length
    std::int64_t whole(const char* name, std::int64_t least, std::int64_t most);
    double number(const char* name, double least, double most);
    bool yes_no(const char* name);
    optics::Dioptre dioptres(const char* name, std::int64_t least, std::int64_t most);  // limits in D

    std::string text_if_any(const char* name);  // empty if absent
    bool yes_no_if_any(const char* name);       // no if absent
    std::optional<std::int64_t> whole_if_any(const char* name, std::int64_t least, std::int64_t most);
    std::optional<double> number_if_any(const char* name, double least, double most);
    std::optional<optics::Dioptre> dioptres_if_any(const char* name, std::int64_t least, std::int64_t most);

    /// The value of a word: `convert` gives an optional.
    template <typename Convert>
    auto value_of(const char* name, Convert convert, const char* expected) {
        const auto value = convert(text(name));
        if (!value) fail(name, expected);
        return *value;
    }

    /// Refuses members that nobody asked for.
    void done() const;

    std::string place(std::string_view name) const;
    [[noreturn]] void fail(std::string_view name, const std::string& expected) const;

  private:
    const nlohmann::json& json_;
    std::string where_;
    std::vector<std::string_view> asked_;
};

}  // namespace pairmark::record
