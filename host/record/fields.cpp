#include "host/record/fields.hpp"

#include <algorithm>
#include <cmath>

#include "host/record/json.hpp"
#include "host/record/words.hpp"

namespace pairmark::record {
namespace {

std::string plain(double value) {
    std::string text = nlohmann::json(value).dump();
    if (text.ends_with(".0")) text.resize(text.size() - 2);
    return text;
}

}  // namespace

Fields::Fields(const nlohmann::json& json, std::string where) : json_(json), where_(std::move(where)) {
    if (!json_.is_object()) {
        throw BadRecord((where_.empty() ? "" : where_ + ": ") + "expected an object, found " +
                        json_.type_name());
    }
    asked_.reserve(json_.size());
}

std::string Fields::place(std::string_view name) const {
    return (where_.empty() ? "" : where_ + ".") + std::string(name);
}

void Fields::fail(std::string_view name, const std::string& expected) const {
    throw BadRecord(place(name) + ": expected " + expected);
}

const nlohmann::json* Fields::optional(const char* name) {
    asked_.emplace_back(name);
    const auto found = json_.find(name);
    return found == json_.end() || found->is_null() ? nullptr : &*found;
}

const nlohmann::json& Fields::required(const char* name) {
    const nlohmann::json* found = optional(name);
    if (found == nullptr) throw BadRecord(place(name) + ": missing");
    return *found;
}

std::string Fields::text(const char* name) {
    const nlohmann::json& value = required(name);
    if (!value.is_string()) fail(name, std::string("a text, found ") + value.type_name());
    const auto& text = value.get_ref<const std::string&>();
    if (!is_utf8(text)) fail(name, "a text in UTF-8, found " + in_quotes(text));
    return text;
}

std::int64_t Fields::whole(const char* name, std::int64_t least, std::int64_t most) {
    const nlohmann::json& value = required(name);
    bool good = value.is_number_integer();
    // Unsigned numbers above the signed range would wrap to negative ones.
    if (value.is_number_unsigned())
        good = value.get<std::uint64_t>() <= static_cast<std::uint64_t>(INT64_MAX);
    if (!good || value.get<std::int64_t>() < least || value.get<std::int64_t>() > most) {
        fail(name, "a whole number from " + std::to_string(least) + " to " + std::to_string(most));
    }
    return value.get<std::int64_t>();
}

double Fields::number(const char* name, double least, double most) {
    const nlohmann::json& value = required(name);
    const double number = value.is_number() ? value.get<double>() : NAN;
    if (!(number >= least && number <= most))
        fail(name, "a number from " + plain(least) + " to " + plain(most));
    return number;
}

bool Fields::yes_no(const char* name) {
    const nlohmann::json& value = required(name);
    if (!value.is_boolean()) fail(name, "true or false");
    return value.get<bool>();
}

optics::Dioptre Fields::dioptres(const char* name, std::int64_t least, std::int64_t most) {
    const double value = number(name, static_cast<double>(least), static_cast<double>(most)) * 1e6;
    const double nearest = std::round(value);
    // A sum of decimals, such as 0.1 + 0.2, may be off by a rounding error of the floating point format; no
    // more.
    if (std::abs(value - nearest) > 1e-3) fail(name, "a number with six decimals at most");
    return optics::Dioptre::millionths(static_cast<std::int64_t>(nearest));
}

std::string Fields::text_if_any(const char* name) {
    return optional(name) == nullptr ? std::string() : text(name);
}

bool Fields::yes_no_if_any(const char* name) {
    return optional(name) != nullptr && yes_no(name);
}

std::optional<std::int64_t> Fields::whole_if_any(const char* name, std::int64_t least, std::int64_t most) {
    if (optional(name) == nullptr) return std::nullopt;
    return whole(name, least, most);
}

std::optional<double> Fields::number_if_any(const char* name, double least, double most) {
    if (optional(name) == nullptr) return std::nullopt;
    return number(name, least, most);
}

std::optional<optics::Dioptre> Fields::dioptres_if_any(const char* name, std::int64_t least,
                                                       std::int64_t most) {
    if (optional(name) == nullptr) return std::nullopt;
    return dioptres(name, least, most);
}

void Fields::done() const {
    for (const auto& [name, value] : json_.items()) {
        if (name.starts_with("x-")) continue;
        if (std::find(asked_.begin(), asked_.end(), std::string_view(name)) == asked_.end()) {
            throw BadRecord((where_.empty() ? "" : where_ + ": ") + "there is no member " + in_quotes(name) +
                            " here");
        }
    }
}

}  // namespace pairmark::record
