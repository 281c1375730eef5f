#include "host/bench/replay.hpp"

#include <algorithm>
#include <map>

namespace pairmark::bench {

std::int64_t Replayed::count(record::Decision decision) const {
    return std::count_if(pairs.begin(), pairs.end(),
                         [decision](const ReplayedPair& one) { return one.verdict.decision == decision; });
}

Replayed replay(const std::vector<record::Event>& events, std::optional<grading::Rules> rules,
                const LabelTaker& on_label) {
    Pipeline pipeline;
    if (rules) pipeline.use_only(std::move(*rules));
    Replayed result;
    std::map<std::int64_t, std::string> places;
    for (const record::Event& event : events) {
        ++result.events;
        if (std::holds_alternative<record::ReadingTaken>(event.body)) ++result.readings;
        if (const auto* note = std::get_if<record::Noted>(&event.body);
            note != nullptr && note->what == "label-refused")
            ++result.refused;
        if (const auto* numbered = std::get_if<record::Numbered>(&event.body)) {
            ++result.numbers;
            places.insert_or_assign(numbered->pair, numbered->place);
            const record::Pair* pair = pipeline.table().find(numbered->pair);
            if (pair != nullptr && pair->state == record::PairState::decided && on_label)
                on_label(pipeline.label_facts(*pair, *numbered), pipeline.paper());
        }
        (void)pipeline.apply(event);
    }
    for (std::int64_t id = 1; id <= pipeline.table().count(); ++id) {
        const record::Pair* pair = pipeline.table().find(id);
        if (pair == nullptr || pair->state == record::PairState::gone) continue;
        ReplayedPair one{*pair, pipeline.verdict(*pair), pipeline.table().number(id), {}};
        if (!one.number.empty()) {
            ++result.labels;
            one.place = places[id];
        }
        result.pairs.push_back(std::move(one));
    }
    return result;
}

std::vector<Difference> differences(const Replayed& before, const Replayed& after) {
    std::map<std::int64_t, const ReplayedPair*> earlier;
    for (const ReplayedPair& one : before.pairs)
        earlier.emplace(one.pair.id, &one);
    std::vector<Difference> found;
    for (const ReplayedPair& one : after.pairs) {
        const auto it = earlier.find(one.pair.id);
        if (it == earlier.end()) continue;
        if (it->second->verdict.decision != one.verdict.decision ||
            it->second->verdict.tray != one.verdict.tray)
            found.push_back({it->second, &one});
    }
    return found;
}

}  // namespace pairmark::bench
