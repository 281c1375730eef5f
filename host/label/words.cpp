#include "host/label/words.hpp"

#include <cmath>
#include <cstdlib>

namespace pairmark::label {
namespace {

std::string in_digits(std::int64_t number, std::size_t width) {
    std::string digits = std::to_string(number);
    if (digits.size() < width) digits.insert(0, width - digits.size(), '0');
    return digits;
}

}  // namespace

std::string text_of(optics::Dioptre value, const Signs& signs) {
    const std::int64_t size = std::llabs(value.in_millionths());
    const std::int64_t thousandths = (size + 500) / 1000;
    std::string text;
    if (thousandths != 0) text = value < optics::Dioptre() ? signs.minus : signs.plus;
    text += std::to_string(thousandths / 1000) + '.';
    const std::int64_t fraction = thousandths % 1000;
    return text + (fraction % 10 == 0 ? in_digits(fraction / 10, 2) : in_digits(fraction, 3));
}

std::string text_of(const optics::Power& power, const Signs& signs) {
    if (power.cylinder == optics::Dioptre()) return text_of(power.sphere, signs) + signs.blank + "DS";
    const auto axis = static_cast<std::int64_t>(std::lround(power.axis));
    return text_of(power.sphere, signs) + signs.blank + text_of(power.cylinder, signs) + signs.before_axis +
           in_digits(axis == 0 ? 180 : axis, 3);
}

std::string line_of(record::Eye eye, const optics::Power& power) {
    return std::string(1, record::letter(eye)) + ' ' + text_of(power);
}

}  // namespace pairmark::label
