// A value inside a JSON text together with its place, so that every complaint says where.
#pragma once

#include <cstdint>
#include <initializer_list>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace pairmark::learn {

/// One word of a list of words and the number that it stands for.
struct Named {
    std::string_view word;
    unsigned value;
};

class Place {
  public:
    Place(const nlohmann::ordered_json& json, std::string where, unsigned depth = 0)
        : json_(&json), where_(std::move(where)), depth_(depth) {}

    const nlohmann::ordered_json& json() const { return *json_; }
    /// Throws BadProfile: "<place>: expected <what>, found <the value>".
    [[noreturn]] void expected(const std::string& what) const;
    /// Throws BadProfile: "<place>: <sentence>".
    [[noreturn]] void refuse(const std::string& sentence) const;

    /// It is an object and has no other members than these.
    void only(std::initializer_list<std::string_view> members) const;
    bool has(std::string_view member) const;
    Place operator[](std::string_view member) const;  // refuses if it is absent
    std::vector<Place> elements() const;              // refuses if it is not an array

    unsigned whole(unsigned low, unsigned high) const;
    bool yes_or_no() const;
    unsigned word(std::initializer_list<Named> words) const;
    /// A number from 0 to 65535 written as a string of hex digits.
    unsigned hex() const;
    /// A string whose characters U+0000 to U+00FF stand for one byte each.
    std::vector<std::uint8_t> bytes(std::size_t least, std::size_t most) const;
    /// One whole number, or two as [least, most].
    std::pair<unsigned, unsigned> range(unsigned low, unsigned high) const;

  private:
    const nlohmann::ordered_json* json_;
    std::string where_;
    unsigned depth_;  // reading recurses: text nested without end must not exhaust the stack
};

}  // namespace pairmark::learn
