#include "host/grading/number_words.hpp"

#include <array>
#include <cstdio>

#include "host/optics/compare.hpp"

namespace pairmark::grading {

std::string decimal(double value, double limit) {
    std::array<char, 64> text{};
    for (int places = 4; places <= 9; ++places) {
        (void)std::snprintf(text.data(), text.size(), "%.*f", places, value);
        std::array<char, 64> of_limit{};
        (void)std::snprintf(of_limit.data(), of_limit.size(), "%.*f", places, limit);
        if (text != of_limit || !(optics::is_over(value, limit) || optics::is_under(value, limit))) break;
    }
    std::string number = text.data();
    const std::size_t point = number.find('.');
    while (number.size() > point + 3 && number.back() == '0') {
        number.pop_back();
    }
    if (number.find_first_not_of("-0.") == std::string::npos && number.front() == '-') number.erase(0, 1);
    return number;
}

}  // namespace pairmark::grading
