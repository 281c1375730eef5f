// The tables of a store, frozen as version 1 (`user_version`). A later change is a migration: a function that
// takes a store of the version before to the next one in a transaction, a test with a store of the old
// version, and a line in DEVELOPERS.md under "Decisions". A store of a newer version is refused, never
// guessed at.
//
//   meta        store (its id), created, series, generation (see generation.hpp); imported_to: the newest
//   event that came
//               with a session (absent: none)
//   event       everything that decides, numbered from 1 without gaps; `body` as in record/json.hpp, but a
//   text in force
//               stands as role and hash only. adapter, epoch, number, record_crc: of an adapter's event, else
//               NULL
//   text        texts that were ever in force, by their SHA-256
//   pair        as last put; `last_event` is the newest event at that time
//   label       every number ever given; a row is never removed
//   intent      every label that was to be printed, its document with it
//   quarantine  events of an adapter whose identity clashed
#pragma once

#include "host/store/connection.hpp"

namespace pairmark::store {

/// Makes the tables in an empty database, or checks that there is a store of this version. Throws StoreFault.
/// True if it was made.
bool prepare_schema(Connection& connection, std::string_view store_id, std::string_view created,
                    std::string_view series, std::string_view generation);

/// Throws StoreFault unless this is a store of this version. Changes nothing.
void check_schema(Connection& connection);

}  // namespace pairmark::store
