// A store with labels in it, for the commands that look into one.
#pragma once

#include "host/label/number.hpp"
#include "host/optics/compare.hpp"
#include "tests/store/fresh_folder.hpp"

namespace pairmark::tests {

inline std::string stock_number(std::int64_t counter) {
    return label::print_number({"A1", "A", counter});
}

/// Puts labels with these counters into the store: pair by pair weaker by 0.25 D, from -1.00 on.
inline void put_labels(store::Store& store, std::int64_t first, std::int64_t last) {
    for (std::int64_t counter = first; counter <= last; ++counter) {
        record::LabelFacts facts = facts_of(stock_number(counter));
        facts.place = "Box 1-0" + std::to_string(counter);
        facts.programme = "Reading Room";
        facts.right = {optics::Dioptre::hundredths(-125 + 25 * counter), {}, 0};
        facts.left = {optics::Dioptre::hundredths(-150), optics::Dioptre::hundredths(-50), 85};
        facts.right_equivalent = optics::spherical_equivalent(facts.right);
        facts.left_equivalent = optics::spherical_equivalent(facts.left);
        record::Pair pair;
        pair.id = counter;
        store::Transaction transaction = store.begin();
        store.put_pair(pair);
        store.put_label(counter, "A", counter, facts);
        transaction.commit();
    }
}

}  // namespace pairmark::tests
