#include "host/bench/shelf.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <tuple>

#include "host/bench/columns.hpp"
#include "host/bench/csv.hpp"
#include "host/label/words.hpp"

namespace pairmark::bench {
namespace {

using optics::Dioptre;
using record::LabelFacts;

std::string additions(const LabelFacts& facts) {
    if (!facts.right_addition || !facts.left_addition) return facts.single_vision ? "single" : "";
    std::string text = label::text_of(*facts.right_addition) + " " + label::text_of(*facts.left_addition) +
                       " " + facts.addition_kind;
    if (!facts.addition_by.empty()) text += ", " + facts.addition_by;
    return text;
}

std::string frame(const LabelFacts& facts) {
    std::string text;
    for (const std::string& word : {facts.frame_size, facts.wearer, facts.style, facts.rim})
        if (!word.empty()) text += (text.empty() ? "" : " ") + word;
    return text;
}

/// Plain digits with a minus alone: a spreadsheet takes it for a number.
std::string number_of(Dioptre value) {
    std::string text = label::text_of(value, label::plain_signs);
    if (text.front() == '+') text.erase(0, 1);
    return text;
}
std::string number_of(const std::optional<Dioptre>& value) {
    return value ? number_of(*value) : "";
}
std::string axis_of(const optics::Power& power) {
    return power.cylinder == Dioptre() ? "" : std::to_string(std::lround(power.axis));
}
std::string millimetres(const std::optional<double>& value) {
    if (!value) return "";
    const auto tenths = std::lround(*value * 10);
    return std::to_string(tenths / 10) + "." + std::to_string(tenths % 10);
}

constexpr const char* heading =
    "place,number,date,right_sphere,right_cylinder,right_axis,right_equivalent,right_addition,left_sphere,"
    "left_cylinder,left_axis,left_equivalent,left_addition,addition_kind,addition_by,single_vision,"
    "centre_distance,frame_size,wearer,style,rim,typed\r\n";

std::string csv_line(const LabelFacts& facts) {
    std::string line = words_cell(facts.place) + "," + words_cell(facts.number) + "," + facts.date;
    const auto lens = [&line](const optics::Power& power, double equivalent,
                              const std::optional<Dioptre>& addition) {
        for (const std::string& cell : {number_of(power.sphere), number_of(power.cylinder), axis_of(power),
                                        number_of(Dioptre::nearest(equivalent)), number_of(addition)})
            line += "," + cell;
    };
    lens(facts.right, facts.right_equivalent, facts.right_addition);
    lens(facts.left, facts.left_equivalent, facts.left_addition);
    for (const std::string& cell :
         {facts.addition_kind, facts.addition_by, std::string(facts.single_vision ? "yes" : ""),
          millimetres(facts.centres_mm), facts.frame_size, facts.wearer, facts.style, facts.rim,
          std::string(facts.typed ? "yes" : "")})
        line += "," + words_cell(cell);
    return line + "\r\n";
}

}  // namespace

std::vector<LabelFacts> on_shelf(const std::vector<store::StoredLabel>& labels,
                                 const std::optional<Near>& near) {
    std::vector<LabelFacts> found;
    for (const store::StoredLabel& label : labels) {
        if (label.is_void) continue;
        if (near && std::abs(label.facts.right_equivalent - near->equivalent) > near->within) continue;
        found.push_back(label.facts);
    }
    std::sort(found.begin(), found.end(), [](const LabelFacts& a, const LabelFacts& b) {
        return std::tie(a.right_equivalent, a.right.cylinder, a.number) <
               std::tie(b.right_equivalent, b.right.cylinder, b.number);
    });
    return found;
}

std::string shelf_table(const std::vector<LabelFacts>& pairs) {
    std::vector<std::array<std::string, 6>> rows{{"right", "left", "addition", "place", "number", "frame"}};
    for (const LabelFacts& facts : pairs)
        rows.push_back({label::text_of(facts.right), label::text_of(facts.left), additions(facts),
                        facts.place, facts.number, frame(facts)});
    std::array<std::size_t, 6> widths{};
    for (const auto& row : rows)
        for (std::size_t i = 0; i < row.size(); ++i)
            widths[i] = std::max(widths[i], characters(row[i]));
    std::string text;
    for (const auto& row : rows) {
        std::string line;
        for (std::size_t i = 0; i < row.size(); ++i)
            line += padded(row[i], widths[i] + 2);
        line.erase(line.find_last_not_of(' ') + 1);
        text += line + "\n";
    }
    return text + std::to_string(pairs.size()) + (pairs.size() == 1 ? " pair\n" : " pairs\n");
}

std::string shelf_csv(const std::vector<LabelFacts>& pairs) {
    std::string text = heading;
    for (const LabelFacts& facts : pairs)
        text += csv_line(facts);
    return text;
}

}  // namespace pairmark::bench
