#include "host/label/number.hpp"

#include <algorithm>
#include <charconv>
#include <stdexcept>

namespace pairmark::label {
namespace {

constexpr std::string_view alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
constexpr std::int64_t largest_counter = 999'999'999;
constexpr std::size_t counter_digits = 5;

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
bool is_letter(char c) {
    return c >= 'A' && c <= 'Z';
}

bool is_bench(std::string_view text) {
    return !text.empty() && text.size() <= 4 &&
           std::all_of(text.begin(), text.end(), [](char c) { return is_digit(c) || is_letter(c); });
}

bool is_series(std::string_view text) {
    return !text.empty() && text.size() <= 3 && std::all_of(text.begin(), text.end(), is_letter);
}

std::string padded(std::int64_t counter) {
    std::string digits = std::to_string(counter);
    if (digits.size() < counter_digits) digits.insert(0, counter_digits - digits.size(), '0');
    return digits;
}

}  // namespace

std::optional<char> check_character(std::string_view text) {
    constexpr int m = 36;
    int product = m;
    for (const char c : text) {
        const auto at = alphabet.find(c);
        if (at == std::string_view::npos) return std::nullopt;
        const int sum = (product + static_cast<int>(at)) % m;
        product = (sum == 0 ? m : sum) * 2 % (m + 1);
    }
    if (text.empty()) return std::nullopt;
    return alphabet[static_cast<std::size_t>((m + 1 - product) % m)];
}

std::optional<std::string> fault_in_number(const LabelNumber& number) {
    if (!is_bench(number.bench))
        return "the bench code is '" + number.bench + "'; it is 1 to 4 of the letters A-Z and digits 0-9";
    if (!is_series(number.series))
        return "the series is '" + number.series + "'; it is 1 to 3 of the letters A-Z";
    if (number.counter < 1 || number.counter > largest_counter)
        return "the counter is " + std::to_string(number.counter) + "; it is 1 to 999999999";
    return std::nullopt;
}

std::string print_number(const LabelNumber& number) {
    if (const auto fault = fault_in_number(number)) throw std::invalid_argument(*fault);
    const std::string counter = padded(number.counter);
    const auto check = check_character(number.bench + number.series + counter);
    return number.bench + '-' + number.series + '-' + counter + '-' + check.value();
}

std::optional<LabelNumber> verify_number(std::string_view text) {
    const auto take = [&text] {
        const auto dash = text.find('-');
        const std::string_view part = text.substr(0, dash);
        text.remove_prefix(dash == std::string_view::npos ? text.size() : dash + 1);
        return part;
    };
    const std::string_view whole = text;
    LabelNumber number;
    number.bench = take();
    number.series = take();
    const std::string_view digits = take();
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), number.counter);
    if (error != std::errc() || end != digits.data() + digits.size() || fault_in_number(number))
        return std::nullopt;
    // One printed form only: whatever else was off (dashes, zeros, case, the check character) shows here.
    if (print_number(number) != whole) return std::nullopt;
    return number;
}

}  // namespace pairmark::label
