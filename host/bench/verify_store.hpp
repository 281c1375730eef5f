// Does what stands in a store follow from its events? And writing it right where it does not.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "host/bench/derived.hpp"
#include "host/store/store.hpp"

namespace pairmark::bench {

/// Something in the store that does not follow from its events.
struct StoreDifference {
    std::string what;
    std::string where;  // which pair, label, event, ... and the table
    std::string next;
    bool mends = true;  // put_right writes it right
    std::string sentence() const { return what + " (" + where + "): " + next; }
};

/// An event's columns (by which an adapter's event is found again) that do not say what its body says.
struct WrongIndex {
    std::int64_t event = 0;
    std::optional<record::AdapterEventId> right;
};

/// What a store's events lead to, and what of them cannot be read.
struct StoreDerived {
    Derived derived;
    std::vector<std::string>
        unreadable;  // a sentence each, with the event; then `derived` stops before the first
    std::vector<WrongIndex> wrong_index;
};

/// Hears how many of how many events are done; `looking` below, whose table's pages are looked over next.
using VerifyProgress = std::function<void(std::int64_t done, std::int64_t of)>;

/// Goes through all events. Throws store::StoreFailure if the disk or the database cannot be read.
StoreDerived derive(const store::Store& store, const VerifyProgress& progress = {});

/// Every difference between the rows and what the events lead to; empty: none. Precondition: nothing is
/// unreadable. Throws store::StoreFailure.
std::vector<StoreDifference> differences(const store::Store& store, const StoreDerived& right);

struct Verified {
    std::vector<std::string> damage;  // damaged pages, unreadable events: then nothing could be compared
    std::vector<StoreDifference> differences;
    std::int64_t events = 0;
    std::int64_t pairs = 0;
    std::int64_t labels = 0;
    bool clean() const { return damage.empty() && differences.empty(); }
};

/// Looks over pages, events and rows of the store as it is at one moment, also while a daemon has it open:
/// then the work on the very newest event may stand out as a difference that is gone a moment later. Changes
/// nothing. Throws store::StoreFailure.
Verified verify_store(const store::Store& store, const VerifyProgress& progress = {},
                      const std::function<void(const std::string& table)>& looking = {});

/// Writes right every row that differs and that events account for, in one transaction; returns what it did,
/// a difference each. It removes no number: one that no event gave is made void and stays used, so that it is
/// never given again. A print intent that was lost comes back in doubt unless the session tells its outcome:
/// it is never printed by itself. Events and quarantine are not touched. Precondition: nothing is unreadable,
/// and no event came since. Throws store::StoreFailure, and then nothing was changed. Not inside a
/// transaction.
std::vector<StoreDifference> put_right(store::Store& store, const StoreDerived& right);

/// The same inside the caller's transaction, for events whose columns were written just now.
std::vector<StoreDifference> put_right_here(store::Store& store, const Derived& right);

}  // namespace pairmark::bench
