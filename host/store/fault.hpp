// What can go wrong with the store.
#pragma once

#include <stdexcept>
#include <string>
#include <utility>

namespace pairmark::store {

/// For people: what happened, where, and what to do next.
struct Trouble {
    std::string what;
    std::string where;
    std::string next;
    /// "the store is in use ... (/var/lib/pairmark/pairmark.db): stop the other program ..."
    std::string sentence() const { return what + " (" + where + "): " + next; }
};

/// The store can't be opened. Thrown by Store::open only.
struct StoreFault : std::runtime_error {
    explicit StoreFault(Trouble why) : std::runtime_error(why.sentence()), trouble(std::move(why)) {}
    Trouble trouble;
};

/// disk_full: no room, or the size limit is reached. busy: another program holds a lock for longer than is
/// waited. forbidden: the files can't be written. damaged: the database's pages are not what they should be.
/// broken: reading or writing the disk failed.
enum class FailureKind { disk_full, busy, forbidden, damaged, broken };

/// The store can't do what was asked, at run time. The one idiom for that: any call of an open Store may
/// throw it, nothing of the transaction is then kept, and the Store itself may be used on. Catch it in one
/// place, which is where the transaction is begun; `Store::attempt` does so and gives it as a value. Nothing
/// of a transaction that failed may be acknowledged.
struct StoreFailure : std::runtime_error {
    StoreFailure(FailureKind of, Trouble why)
        : std::runtime_error(why.sentence()), kind(of), trouble(std::move(why)) {}
    FailureKind kind;
    Trouble trouble;
};

}  // namespace pairmark::store
