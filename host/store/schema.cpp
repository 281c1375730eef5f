#include "host/store/schema.hpp"

namespace pairmark::store {
namespace {

constexpr std::int64_t version = 1;
constexpr std::int64_t application =
    0x504D524B;  // "PMRK", at the file's byte 68: tells a store from other databases

constexpr const char* tables = R"sql(
CREATE TABLE meta (
    key   TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE event (
    seq        INTEGER PRIMARY KEY,
    at         TEXT NOT NULL,
    kind       TEXT NOT NULL,
    body       TEXT NOT NULL,
    adapter    TEXT,
    epoch      INTEGER,
    number     INTEGER,
    record_crc INTEGER,
    UNIQUE (adapter, epoch, number)
) STRICT;

CREATE TABLE text (
    hash TEXT PRIMARY KEY,
    role TEXT NOT NULL,
    text TEXT NOT NULL
) STRICT;

CREATE TABLE pair (
    id         INTEGER PRIMARY KEY,
    state      TEXT NOT NULL,
    body       TEXT NOT NULL,
    verdict    TEXT,
    last_event INTEGER NOT NULL
) STRICT;

CREATE TABLE label (
    number  TEXT PRIMARY KEY,
    pair    INTEGER NOT NULL REFERENCES pair (id) DEFERRABLE INITIALLY DEFERRED,
    series  TEXT NOT NULL,
    counter INTEGER NOT NULL,
    state   TEXT NOT NULL CHECK (state IN ('valid', 'void')),
    date    TEXT NOT NULL,
    place   TEXT NOT NULL,
    facts   TEXT NOT NULL,
    UNIQUE (series, counter)
) STRICT;

CREATE TABLE intent (
    id         INTEGER PRIMARY KEY,
    pair       INTEGER NOT NULL REFERENCES pair (id) DEFERRABLE INITIALLY DEFERRED,
    label      TEXT NOT NULL REFERENCES label (number) DEFERRABLE INITIALLY DEFERRED,
    copy       INTEGER NOT NULL,
    outcome    TEXT NOT NULL,
    say        TEXT NOT NULL,
    rules_hash TEXT NOT NULL,
    facts      TEXT NOT NULL,
    document   BLOB NOT NULL,
    UNIQUE (label, copy)
) STRICT;
CREATE INDEX intent_by_outcome ON intent (outcome, id);

CREATE TABLE quarantine (
    id         INTEGER PRIMARY KEY,
    at         TEXT NOT NULL,
    adapter    TEXT NOT NULL,
    epoch      INTEGER NOT NULL,
    number     INTEGER NOT NULL,
    record_crc INTEGER NOT NULL,
    line       TEXT NOT NULL
) STRICT;

PRAGMA application_id = 1347244619;
PRAGMA user_version = 1;
)sql";
static_assert(application == 1347244619 && version == 1, "the two pragmas above say the same");

[[noreturn]] void refuse(const Connection& connection, std::string what, std::string next) {
    throw StoreFault({std::move(what), connection.path().string(), std::move(next)});
}

}  // namespace

bool prepare_schema(Connection& connection, std::string_view store_id, std::string_view created,
                    std::string_view series, std::string_view generation) {
    const bool empty = connection.number("SELECT count(*) FROM sqlite_schema") == 0;
    if (empty && connection.number("PRAGMA user_version") == 0) {
        connection.run_script("BEGIN IMMEDIATE");
        connection.run_script(tables);
        connection.set_meta("store", store_id);
        connection.set_meta("created", created);
        connection.set_meta("series", series);
        connection.set_meta("generation", generation);
        connection.run_script("COMMIT");
        return true;
    }
    check_schema(connection);
    return false;
}

void check_schema(Connection& connection) {
    const std::int64_t found_version = connection.number("PRAGMA user_version");
    const std::int64_t found_application = connection.number("PRAGMA application_id");
    if (found_application != application) {
        refuse(connection, "this database is not a store of pairmark", "name another file");
    }
    if (found_version > version) {
        refuse(connection,
               "a newer version of the program wrote this store (form " + std::to_string(found_version) +
                   "; this one knows form " + std::to_string(version) + ")",
               "install the newer version again, or put back a copy from before it");
    }
    if (found_version != version) {
        refuse(connection, "the store's form " + std::to_string(found_version) + " is not known",
               "put back the newest copy");
    }
}

}  // namespace pairmark::store
