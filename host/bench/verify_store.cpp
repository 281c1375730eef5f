#include "host/bench/verify_store.hpp"

#include "host/bench/comparison.hpp"
#include "host/record/json.hpp"

namespace pairmark::bench {
namespace {

constexpr const char* keep_the_files =
    "keep the files as they are, and put back the newest copy; the adapter keeps what was not acknowledged";

const record::AdapterEventId* id_of(const record::EventBody& body) {
    if (const auto* taken = std::get_if<record::ReadingTaken>(&body))
        return taken->id ? &*taken->id : nullptr;
    if (const auto* pressed = std::get_if<record::KeyPressed>(&body)) return &pressed->id;
    return nullptr;
}

std::vector<StoreDifference> mended(std::vector<StoreDifference> differences) {
    std::erase_if(differences, [](const StoreDifference& one) { return !one.mends; });
    return differences;
}

}  // namespace

StoreDerived derive(const store::Store& store, const VerifyProgress& progress) {
    StoreDerived out;
    Deriver deriver;
    const std::int64_t all = store.last_sequence();
    std::int64_t expected = 1;
    store.for_each_event_row([&](const store::EventRow& row) {
        for (; expected < row.sequence; ++expected)
            if (out.unreadable.size() < 100)
                out.unreadable.push_back("event " + std::to_string(expected) +
                                         " is missing: " + keep_the_files);
        ++expected;
        if (!row.event) {
            out.unreadable.push_back(row.fault);
            return;
        }
        const record::AdapterEventId* id = id_of(row.event->body);
        const auto right = id == nullptr ? std::nullopt : std::optional(*id);
        if (row.indexed != right) out.wrong_index.push_back({row.sequence, right});
        if (!out.unreadable.empty()) return;
        try {
            deriver.take(*row.event);
        } catch (const record::BadRecord& bad) {
            out.unreadable.push_back("event " + std::to_string(row.sequence) + ": " + bad.what());
        }
        if (progress) progress(row.sequence, all);
    });
    out.derived = std::move(deriver).finish();
    return out;
}

std::vector<StoreDifference> differences(const store::Store& store, const StoreDerived& right) {
    return compare(store, right.derived, right.wrong_index, nullptr);
}

Verified verify_store(const store::Store& store, const VerifyProgress& progress,
                      const std::function<void(const std::string&)>& looking) {
    const store::Transaction at_one_moment = store.snapshot();
    Verified verified;
    verified.damage = store.damage(looking);
    if (!verified.damage.empty()) return verified;
    StoreDerived right = derive(store, progress);
    verified.events = store.last_sequence();
    verified.pairs = static_cast<std::int64_t>(right.derived.pairs.size());
    verified.labels = static_cast<std::int64_t>(right.derived.labels.size());
    if (right.unreadable.empty())
        verified.differences = differences(store, right);
    else
        verified.damage = std::move(right.unreadable);
    return verified;
}

std::vector<StoreDifference> put_right(store::Store& store, const StoreDerived& right) {
    store::Transaction transaction = store.begin();
    std::vector<StoreDifference> done = mended(compare(store, right.derived, right.wrong_index, &store));
    transaction.commit();
    return done;
}

std::vector<StoreDifference> put_right_here(store::Store& store, const Derived& right) {
    return mended(compare(store, right, {}, &store));
}

}  // namespace pairmark::bench
