#include "host/label/facts.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <initializer_list>
#include <string_view>

#include "host/label/glyphs.hpp"
#include "host/label/number.hpp"
#include "host/label/refused.hpp"
#include "host/label/words.hpp"
#include "host/record/mark.hpp"

namespace pairmark::label {
namespace {

using optics::Dioptre;

bool is_quarter(Dioptre value) {
    return value.in_millionths() % 250'000 == 0;
}
bool is_within(Dioptre value, int limit) {
    return std::llabs(value.in_millionths()) <= std::int64_t{limit} * 1'000'000;
}

bool is_one_of(const std::string& word, std::initializer_list<std::string_view> words) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

void check_power(const optics::Power& power, const std::string& where) {
    const auto refuse = [&where](const std::string& happened) {
        throw LabelRefused(where, happened, "measure the lens again");
    };
    if (!is_quarter(power.sphere) || !is_quarter(power.cylinder))
        refuse("its power is not in whole quarter dioptres");
    if (!is_within(power.sphere, 60) || !is_within(power.cylinder, 60)) refuse("its power is beyond 60 D");
    if (power.cylinder > Dioptre()) refuse("its cylinder is in plus form");
    const bool has_cylinder = power.cylinder != Dioptre();
    const double least = has_cylinder ? 1 : 0;
    const double most = has_cylinder ? 180 : 0;
    // Written so that an axis that is no number is refused too.
    if (!(power.axis >= least && power.axis <= most && power.axis == std::floor(power.axis)))
        refuse(has_cylinder ? "its axis is not a whole degree from 1 to 180"
                            : "it has an axis without a cylinder");
}

void check_equivalent(const optics::Power& power, double said, const std::string& where) {
    const double is = power.sphere.value() + power.cylinder.value() / 2;
    if (!(std::abs(said - is) < 1e-6))
        throw LabelRefused(where, "its spherical equivalent is not that of its power",
                           "report this as a fault of the program");
}

void check_additions(const record::LabelFacts& facts) {
    const auto refuse = [](const std::string& happened, const std::string& next) {
        throw LabelRefused("addition", happened, next);
    };
    if (!facts.right_addition && !facts.left_addition) {
        if (!facts.addition_kind.empty() || !facts.addition_by.empty())
            refuse("its kind is given and no addition", "measure both additions, or take the kind back");
        return;
    }
    if (facts.single_vision)
        refuse("the pair is marked as single vision",
               "mark it as segment or progressive, or measure it again");
    if (!facts.right_addition || !facts.left_addition)
        refuse(facts.right_addition ? "the left lens has none" : "the right lens has none",
               "measure that lens's addition, or turn the pair down");
    for (const auto& addition : {*facts.right_addition, *facts.left_addition})
        if (!is_quarter(addition) || addition < Dioptre::hundredths(25) ||
            addition > Dioptre::hundredths(800))
            refuse("it is not in whole quarter dioptres from 0.25 to 8.00", "measure it again");
    if (facts.addition_kind != "segment" && facts.addition_kind != "progressive")
        refuse("its kind is missing or unknown", "mark the pair as segment or progressive");
    if (!is_one_of(facts.addition_by, {"", "front", "back"}))
        refuse("how it was measured is unknown", "mark addition_by as front or back");
}

void check_frame(const record::LabelFacts& facts) {
    const auto refuse = [](const std::string& happened) {
        throw LabelRefused("frame", happened, "mark it again");
    };
    if (!facts.frame_size.empty())
        if (const auto fault = record::fault_in_mark("frame_size", facts.frame_size)) refuse(*fault);
    if (!is_one_of(facts.wearer, {"", "adult", "child"})) refuse("its wearer is neither adult nor child");
    if (!is_one_of(facts.style, {"", "women", "men", "either"}))
        refuse("its style is not women, men or either");
    if (!is_one_of(facts.rim, {"", "full", "cord", "none"})) refuse("its rim is not full, cord or none");
}

bool is_date(const std::string& text) {
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') return false;
    int part[3] = {0, 0, 0};
    int at = 0;
    for (const char c : text) {
        if (c == '-')
            ++at;
        else if (c >= '0' && c <= '9' && at < 3)
            part[at] = part[at] * 10 + (c - '0');
        else
            return false;
    }
    return std::chrono::year_month_day(std::chrono::year(part[0]),
                                       std::chrono::month(static_cast<unsigned>(part[1])),
                                       std::chrono::day(static_cast<unsigned>(part[2])))
        .ok();
}

void check_text(const std::string& text, const std::string& where) {
    if (const auto fault = fault_in_text(text))
        throw LabelRefused(where, *fault, "write it in Latin, Greek or Cyrillic letters");
    if (!text.empty() && (text.front() == ' ' || text.back() == ' '))
        throw LabelRefused(where, "it begins or ends with a blank", "take the blank out");
}

}  // namespace

void check_facts(const record::LabelFacts& facts) {
    check_power(facts.right, "right lens");
    check_power(facts.left, "left lens");
    check_equivalent(facts.right, facts.right_equivalent, "right lens");
    check_equivalent(facts.left, facts.left_equivalent, "left lens");
    check_additions(facts);
    if (facts.centres_mm && !(*facts.centres_mm >= 10 && *facts.centres_mm <= 120))
        throw LabelRefused("centre distance", "it is not from 10 to 120 mm",
                           "measure it again, or leave it out");
    if (!verify_number(facts.number))
        throw LabelRefused("number", "its form or its check character is wrong",
                           "report this as a fault of the program");
    if (!is_date(facts.date))
        throw LabelRefused("date", "it is not a day written YYYY-MM-DD",
                           "report this as a fault of the program");
    if (facts.place.empty())
        throw LabelRefused("place", "it is missing",
                           "name the place where such pairs are filed in the configuration");
    check_text(facts.place, "place");
    check_text(facts.programme, "programme name");
    check_text(facts.extra, "extra line");
    check_frame(facts);
    if (facts.copy < 0 || facts.copy > 99)
        throw LabelRefused("copy", "it is not from 0 to 99", "make a new label instead");
}

}  // namespace pairmark::label
