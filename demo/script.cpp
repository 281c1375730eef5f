#include "demo/script.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <sstream>
#include <stdexcept>

namespace pairmark::demo {
namespace {

[[noreturn]] void refuse(std::size_t line, const std::string& why) {
    throw std::runtime_error("line " + std::to_string(line) + ": " + why);
}

double number(const std::string& text, std::size_t line, double least, double most) {
    const char* begin = text.data();
    const char* const end = begin + text.size();
    if (begin != end && *begin == '+') ++begin;
    double value = 0;
    const auto [stop, error] = std::from_chars(begin, end, value);
    if (error != std::errc() || stop != end || !std::isfinite(value))
        refuse(line, "\"" + text + "\" is not a number");
    if (value < least || value > most) refuse(line, "\"" + text + "\" is out of the instrument's range");
    return value;
}

Lens lens(const std::string& sphere, const std::string& cylinder, const std::string& axis, std::size_t line) {
    Lens made;
    made.sphere = number(sphere, line, -30, 30);
    made.cylinder = number(cylinder, line, -12, 12);
    made.axis = static_cast<int>(std::lround(number(axis, line, 0, 180)));
    return made;
}

std::string trimmed(std::string text) {
    const char* const blanks = " \t\r\"";
    const std::size_t first = text.find_first_not_of(blanks);
    if (first == std::string::npos) return {};
    return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

std::vector<std::string> cells(const std::string& line) {
    std::vector<std::string> found;
    std::stringstream in(line);
    std::string cell;
    while (std::getline(in, cell, ','))
        found.push_back(trimmed(cell));
    if (!line.empty() && line.back() == ',') found.emplace_back();
    return found;
}

Act measure(char eye, const Lens& lens) {
    return {Act::What::measure, {}, eye, lens};
}

Act scenario_act(const std::string& line, std::size_t number_of_line) {
    std::istringstream words(line);
    std::string first;
    words >> first;
    const std::string rest = trimmed(line.substr(line.find(first) + first.size()));
    if (first == "#") return {Act::What::say, rest, 'R', {}};
    if (first == "key") return {Act::What::key, rest, 'R', {}};
    if (first == "raw") return {Act::What::send_raw, rest + "\r\n", 'R', {}};
    if (first != "R" && first != "L")
        refuse(number_of_line, "\"" + first + "\" is no act; use #, R, L, key or raw");
    std::string sphere;
    std::string cylinder = "0";
    std::string axis = "0";
    words >> sphere >> cylinder >> axis;
    // A failed extraction empties its target: a spherical lens has neither.
    if (cylinder.empty()) cylinder = "0";
    if (axis.empty()) axis = "0";
    return measure(first.front(), lens(sphere, cylinder, axis, number_of_line));
}

}  // namespace

Script read_scenario(std::istream& in) {
    Script script;
    std::string line;
    for (std::size_t n = 1; std::getline(in, line); ++n)
        if (!trimmed(line).empty()) script.acts.push_back(scenario_act(line, n));
    return script;
}

Script read_pairs(std::istream& in) {
    static const std::array<std::string, 6> names = {"right_sphere", "right_cylinder", "right_axis",
                                                     "left_sphere",  "left_cylinder",  "left_axis"};
    std::string line;
    if (!std::getline(in, line))
        refuse(1, "the file is empty; a first line with the columns' names is expected");
    const std::vector<std::string> header = cells(line);
    std::array<std::size_t, 6> column{};
    for (std::size_t i = 0; i < names.size(); ++i) {
        std::optional<std::size_t> found;
        for (std::size_t c = 0; c < header.size(); ++c)
            if (header[c] == names[i]) found = c;
        if (!found) refuse(1, "the column " + names[i] + " is missing");
        column[i] = *found;
    }
    Script script;
    for (std::size_t n = 2; std::getline(in, line); ++n) {
        if (trimmed(line).empty()) continue;
        const std::vector<std::string> row = cells(line);
        std::array<std::string, 6> value;
        bool complete = true;
        for (std::size_t i = 0; i < names.size(); ++i) {
            if (column[i] < row.size()) value[i] = row[column[i]];
            complete = complete && !value[i].empty();
        }
        if (!complete) {
            ++script.skipped;
            continue;
        }
        script.acts.push_back(measure('R', lens(value[0], value[1], value[2], n)));
        script.acts.push_back(measure('L', lens(value[3], value[4], value[5], n)));
    }
    return script;
}

}  // namespace pairmark::demo
