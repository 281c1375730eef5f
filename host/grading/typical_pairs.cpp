#include "host/grading/typical_pairs.hpp"

#include <initializer_list>

namespace pairmark::grading {

namespace {

record::MeasuredLens measured(record::Eye eye, const optics::Power& power) {
    record::MeasuredLens lens;
    lens.reading.eye = eye;
    lens.reading.power = power;
    lens.reading.addition = optics::Dioptre();
    lens.reading.prism = record::Prism{};
    lens.step = optics::Dioptre::hundredths(25);
    return lens;
}

}  // namespace

record::Pair typical_pair(const optics::Power& right, const optics::Power& left,
                          const record::Marks& granted) {
    constexpr double usual_centres_mm = 62;
    record::Pair pair;
    pair.id = 1;
    pair.state = record::PairState::complete;
    pair.right = measured(record::Eye::right, right);
    pair.left = measured(record::Eye::left, left);
    pair.centres_mm = usual_centres_mm;
    pair.looked_over = true;
    for (const auto& [name, value] : std::initializer_list<std::pair<const char*, const char*>>{
             {"rim", "full"}, {"frame_size", "M"}, {"style", "either"}, {"addition_by", "back"}})
        if (!granted.contains(name)) pair.marks.emplace(name, value);
    return pair;
}

}  // namespace pairmark::grading
