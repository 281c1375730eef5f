// Reading one JSON object of a configuration: members are taken by name, and every mistake on the way is
// remembered, so that a person sees all of them at once.
#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <utility>

namespace pairmark::bench {

/// `object`, `place` ("/label", empty for the outermost) and `mistakes` as the object lives; when it ends,
/// members that nobody took are mistakes too. A mistake is a line "  at PLACE: expected ...".
class Members {
  public:
    Members(const nlohmann::json& object, std::string place, std::string& mistakes);
    ~Members() { name_strangers(); }
    Members(const Members&) = delete;
    Members& operator=(const Members&) = delete;

    /// Null if absent.
    const nlohmann::json* take(const char* name);
    /// Text of 1 to `most` bytes; absent leaves `into` as it is.
    void text(const char* name, std::string& into, std::size_t most);
    /// A whole number; absent leaves `into` as it is.
    template <typename Number>
    void whole(const char* name, Number& into, int least, int most) {
        const nlohmann::json* value = take(name);
        if (value == nullptr) return;
        if (!value->is_number_integer() || value->get<std::int64_t>() < least ||
            value->get<std::int64_t>() > most)
            return mistake(name,
                           "a whole number from " + std::to_string(least) + " to " + std::to_string(most));
        into = Number(value->get<int>());
    }
    void mistake(const std::string& name, const std::string& expected);

  private:
    void name_strangers();

    const nlohmann::json& object_;
    std::string place_;
    std::string& mistakes_;
    std::set<std::string> known_;
};

}  // namespace pairmark::bench
