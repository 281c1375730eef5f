// Taking a session that was exported elsewhere into a store.
//
// Trust: a session comes from anywhere. Beside store/session.hpp's S1 to S4 and record/json.hpp's R1 to R3,
// for any bytes whatever:
//   I1  all or nothing: one transaction, and a file that is refused changes nothing;
//   I2  the same session again changes nothing, and a session that goes on from one imported before adds only
//       the rest;
//   I3  a store takes a session only while it has no event of its own, or while what it has is a beginning of
//       that session, event for event;
//   I4  no print intent comes from it, and no number is given for it. Its own numbers are kept, with their
//       labels, so that the shelf knows them; the store's own numbers to come are in a later series;
//   I5  a text in force that this program cannot use, a number given twice or to a pair that is not kept, and
//   a
//       series after which there is none refuse the file.
//
// What was not finished on the day stays so:
//   - half a pair stays half. It never joins a reading of this bench unasked: an adapter that knows another
//     store is greeted as changed, and the next reading asks; so does the half pair when its time is up.
//   - a kept pair without a label never gets one here by itself: its label belongs to the bench that measured
//     it. `Store::imported_to` tells such pairs. Only a new act or reading of a person here decides it anew.
#pragma once

#include <cstdint>
#include <istream>
#include <stdexcept>
#include <string>
#include <vector>

#include "host/bench/derived.hpp"
#include "host/store/store.hpp"

namespace pairmark::bench {

/// The store cannot take it; the file itself is in order. A sentence with the next step.
struct ImportRefused : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// A session that was read whole, and what follows from it.
struct SessionToImport {
    std::vector<record::Event> events;
    Derived derived;
    std::string latest_series;  // of its numbers; empty: it has none
};
/// Throws record::BadRecord, which names the file's line.
SessionToImport read_to_import(std::istream& in);
/// The same without the file around them: events numbered from 1, no adapter's event twice.
SessionToImport to_import(std::vector<record::Event> events);

struct Imported {
    std::int64_t events = 0;  // that the session has
    std::int64_t added = 0;   // 0: all of them were there, and nothing was changed
    std::string series;       // of this store's labels to come
};

/// Throws ImportRefused or store::StoreFailure, and then nothing was changed. Not inside a transaction.
Imported import_session(store::Store& store, const SessionToImport& session);

}  // namespace pairmark::bench
