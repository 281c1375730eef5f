// Rows as they lie in the tables, and the writers that put them right.
#include "host/store/connection.hpp"
#include "host/store/store.hpp"

namespace pairmark::store {

std::vector<LabelRow> Store::label_rows() const {
    Statement query = connection_->use(
        "SELECT number, pair, series, counter, state, date, place, facts FROM label ORDER BY rowid");
    std::vector<LabelRow> rows;
    while (query.step())
        rows.push_back({query.text(0), query.whole(1), query.text(2), query.whole(3), query.text(4),
                        query.text(5), query.text(6), query.text(7)});
    return rows;
}

std::vector<IntentRow> Store::intent_rows() const {
    Statement query =
        connection_->use("SELECT id, pair, label, copy, outcome, rules_hash FROM intent ORDER BY id");
    std::vector<IntentRow> rows;
    while (query.step())
        rows.push_back(
            {query.whole(0), query.whole(1), query.text(2), query.whole(3), query.text(4), query.text(5)});
    return rows;
}

void Store::put_pair_row(const StoredPair& row) {
    connection_
        ->use(
            "INSERT INTO pair (id, state, body, verdict, last_event) VALUES (?1, ?2, ?3, ?4, ?5) "
            "ON CONFLICT (id) DO UPDATE SET state = ?2, body = ?3, verdict = ?4, last_event = ?5")
        .with(row.id, row.state, row.body, row.verdict, row.last_event)
        .run();
}

void Store::remove_pair_row(std::int64_t id) {
    connection_->use("DELETE FROM pair WHERE id = ?1").with(id).run();
}

void Store::put_label_row(const LabelRow& row) {
    connection_
        ->use(
            "INSERT INTO label (number, pair, series, counter, state, date, place, facts) "
            "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) ON CONFLICT (number) DO UPDATE SET "
            "pair = ?2, series = ?3, counter = ?4, state = ?5, date = ?6, place = ?7, facts = ?8")
        .with(row.number, row.pair, row.series, row.counter, row.state, row.date, row.place, row.facts)
        .run();
}

void Store::remove_label_row(std::string_view number) {
    connection_->use("DELETE FROM label WHERE number = ?1").with(number).run();
}

void Store::unsettle_label_row(std::string_view number) {
    connection_->use("UPDATE label SET series = '', counter = -rowid WHERE number = ?1").with(number).run();
}

void Store::put_intent_row(std::int64_t id, std::int64_t pair, std::string_view rules_hash) {
    connection_->use("UPDATE intent SET pair = ?2, rules_hash = ?3 WHERE id = ?1")
        .with(id, pair, rules_hash)
        .run();
}

void Store::remove_intent_row(std::int64_t id) {
    connection_->use("DELETE FROM intent WHERE id = ?1").with(id).run();
}

}  // namespace pairmark::store
