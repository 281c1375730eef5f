// Reading JSON by what is expected of it, collecting every mistake instead of stopping at the first.
#pragma once

#include <initializer_list>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "host/grading/rules.hpp"

namespace pairmark::grading {

using Json = nlohmann::json;

/// "rules[3]" and "when" make "rules[3].when".
std::string place_in(const std::string& place, std::string_view member);

/// One object and the members that it may have. Every getter notes a mistake and gives nothing where the
/// member is not what it should be. A member may be absent unless it is required.
class ObjectReader {
  public:
    /// Notes every member that is not among `members`. If `json` is no object, notes that, and it reads as
    /// empty.
    ObjectReader(const Json& json, std::string place, std::initializer_list<std::string_view> members,
                 std::vector<Mistake>& mistakes);

    bool is_object() const { return object_ != nullptr; }
    const Json* member(std::string_view name) const;
    const Json* required(std::string_view name, std::string_view expected) const;

    /// A text of 1 to 200 characters without control characters.
    std::optional<std::string> text(std::string_view name) const;
    std::optional<bool> yes_no(std::string_view name) const;
    /// One of `words`.
    std::optional<std::string> word(std::string_view name, std::span<const std::string_view> words) const;

    std::string place(std::string_view name) const { return place_in(place_, name); }
    void note(std::string_view name, std::string say) const;

  private:
    const Json* object_ = nullptr;
    std::string place_;
    std::vector<Mistake>& mistakes_;
};

/// Notes a mistake and gives nothing unless `json` is a text of 1 to 200 characters without control
/// characters.
std::optional<std::string> read_text(const Json& json, const std::string& place,
                                     std::vector<Mistake>& mistakes);

/// The value as it stands in JSON, cut short, for a sentence.
std::string shown(const Json& json);

/// Reads a condition; notes mistakes. `depth` counts from 0.
Condition read_condition(const Json& json, const std::string& place, int depth,
                         std::vector<Mistake>& mistakes);

}  // namespace pairmark::grading
