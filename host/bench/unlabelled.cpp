#include "host/bench/unlabelled.hpp"

#include <utility>

#include "host/bench/derived.hpp"

namespace pairmark::bench {

std::vector<UnlabelledPair> unlabelled_pairs(const store::Store& store) {
    Deriver deriver;
    std::vector<std::string> refusals;
    store.for_each_event([&](const record::Event& event) {
        deriver.take(event);
        if (const auto* note = std::get_if<record::Noted>(&event.body))
            if (note->what == "label-refused") refusals.push_back(note->say);
    });
    std::vector<UnlabelledPair> found;
    for (const std::int64_t pair : std::move(deriver).finish().unlabelled) {
        const std::string begin = "pair " + std::to_string(pair) + ": ";
        std::string why =
            "not made yet; the bench makes it as soon as it can keep it, and says what is in the way";
        if (store.imported_to() > 0)
            why += "; that of an imported pair belongs to the bench that measured it";
        for (const std::string& say : refusals)
            if (say.starts_with(begin)) why = say.substr(begin.size());
        found.push_back({pair, std::move(why)});
    }
    return found;
}

}  // namespace pairmark::bench
