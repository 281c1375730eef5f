#include "host/bench/import_session.hpp"

#include <utility>

#include "host/bench/verify_store.hpp"
#include "host/label/number.hpp"
#include "host/record/json.hpp"
#include "host/store/generation.hpp"
#include "host/store/session.hpp"

namespace pairmark::bench {
namespace {

using record::BadRecord;

/// The header is line 1.
[[noreturn]] void refuse_line(std::int64_t event, const std::string& why) {
    throw BadRecord("line " + std::to_string(event + 1) + ": " + why);
}

Derived derived_from(const std::vector<record::Event>& events) {
    Deriver deriver;
    for (const record::Event& event : events) {
        try {
            deriver.take(event);
        } catch (const BadRecord& bad) {
            refuse_line(event.sequence, bad.what());
        }
    }
    Derived derived = std::move(deriver).finish();
    if (!derived.oddities.empty()) refuse_line(derived.oddities.front().event, derived.oddities.front().say);
    return derived;
}

/// The last series of the session's numbers; empty: it has none.
std::string latest_series(const Derived& derived) {
    std::string latest;
    for (const DerivedLabel& label : derived.labels) {
        latest = store::later_series(latest, label.row.series);
        if (label::fault_in_number({"A", store::next_series(latest), 1}))
            refuse_line(label.event,
                        "the number's series is " + latest +
                            ", after which there is none; this store could give no number any more");
    }
    return latest;
}

/// How many of the session's events the store has, from the first on. Throws where one is another.
std::int64_t count_known(const store::Store& store, const std::vector<record::Event>& events) {
    std::int64_t known = 0;
    try {
        store.for_each_event([&](const record::Event& stored) {
            if (known == static_cast<std::int64_t>(events.size())) return;
            const record::Event& event = events[static_cast<std::size_t>(known)];
            ++known;
            if (record::to_json(event) == record::to_json(stored)) return;
            throw ImportRefused("line " + std::to_string(known + 1) + " of the session is not the event " +
                                std::to_string(known) + " that this store has (\"" + record::kind_of(stored) +
                                "\" of " + stored.at + "; the session says \"" + record::kind_of(event) +
                                "\" of " + event.at +
                                "): a session goes into an empty store, or into one that holds its own "
                                "beginning; name another "
                                "database");
        });
    } catch (const BadRecord& damaged) {
        throw ImportRefused(std::string("this store is damaged and takes nothing: ") + damaged.what());
    }
    return known;
}

}  // namespace

SessionToImport to_import(std::vector<record::Event> events) {
    SessionToImport session{std::move(events), {}, {}};
    session.derived = derived_from(session.events);
    session.latest_series = latest_series(session.derived);
    return session;
}

SessionToImport read_to_import(std::istream& in) {
    return to_import(store::read_session(in));
}

Imported import_session(store::Store& store, const SessionToImport& session) {
    const std::vector<record::Event>& events = session.events;
    Imported imported;
    imported.events = static_cast<std::int64_t>(events.size());
    store::Transaction transaction = store.begin();
    const std::int64_t known = count_known(store, events);
    imported.series = store.series();
    if (known == imported.events) return imported;
    if (store.imported_to() != store.last_sequence())
        throw ImportRefused(
            "this store has events of its own after event " + std::to_string(store.imported_to()) +
            ": a session goes into an empty store, or into one that holds nothing but its own "
            "beginning; name another database");
    for (std::int64_t i = known; i < imported.events; ++i) {
        record::Event event = events[static_cast<std::size_t>(i)];
        store.append(event);
    }
    // Before the rows: no print intent is made for what was imported, and the store goes on in a later
    // series.
    store.set_imported_to(imported.events);
    (void)put_right_here(store, session.derived);
    imported.series = store.series();
    transaction.commit();
    imported.added = imported.events - known;
    return imported;
}

}  // namespace pairmark::bench
