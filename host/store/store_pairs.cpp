// Pairs, labels, print intents and quarantine.
#include "host/record/json.hpp"
#include "host/record/words.hpp"
#include "host/store/connection.hpp"
#include "host/store/store.hpp"

namespace pairmark::store {
namespace {

using nlohmann::json;
using record::BadRecord;

/// Facts as they stand in the store. Throws BadRecord where the row is damaged.
record::LabelFacts facts_of(const std::string& text, const std::string& number) {
    try {
        return record::label_facts_from_json(json::parse(text));
    } catch (const json::exception&) {
        throw BadRecord("label " + number + ": its facts are not JSON");
    } catch (const BadRecord& fault) {
        throw BadRecord("label " + number + ": " + fault.what());
    }
}

record::PrintOutcome outcome_of(const std::string& word) {
    const auto outcome = record::print_outcome(word);
    if (!outcome) throw BadRecord("a print intent has the outcome " + record::in_quotes(word));
    return *outcome;
}

StoredPair pair_of(const Statement& row) {
    StoredPair pair{row.whole(0), row.text(1), row.text(2), std::nullopt, row.whole(4)};
    if (!row.is_null(3)) pair.verdict = row.text(3);
    return pair;
}

StoredLabel label_of(const Statement& row) {
    const std::string number = row.text(0);
    return {number,
            row.whole(1),
            row.text(2),
            row.whole(3),
            row.text(4) == "void",
            row.text(5),
            row.text(6),
            facts_of(row.text(7), number)};
}

record::PrintIntent whole_intent_of(const Statement& row) {
    record::PrintIntent intent;
    intent.id = row.whole(0);
    intent.pair = row.whole(1);
    intent.facts = facts_of(row.text(2), "of intent " + std::to_string(intent.id));
    intent.rules_hash = row.text(3);
    intent.document = row.text(4);
    intent.outcome = outcome_of(row.text(5));
    intent.say = row.text(6);
    return intent;
}

StoredIntent intent_of(const Statement& row) {
    return {row.whole(0), row.whole(1), row.text(2), static_cast<int>(row.whole(3)), outcome_of(row.text(4)),
            row.text(5),  row.text(6)};
}

/// Every row of a query.
template <typename Row, typename Make>
std::vector<Row> rows(Statement& query, Make make) {
    std::vector<Row> out;
    while (query.step()) {
        out.push_back(make(query));
    }
    return out;
}

template <typename Row, typename Make>
std::optional<Row> row(Statement& query, Make make) {
    if (!query.step()) return std::nullopt;
    return make(query);
}

}  // namespace

void Store::put_pair(const record::Pair& pair, const std::optional<std::string>& verdict) {
    connection_
        ->use(
            "INSERT INTO pair (id, state, body, verdict, last_event) VALUES (?1, ?2, ?3, ?4, ?5) "
            "ON CONFLICT (id) DO UPDATE SET state = ?2, body = ?3, verdict = ?4, last_event = ?5")
        .with(pair.id, word(pair.state), record::to_json(pair).dump(), verdict, last_sequence())
        .run();
}

std::optional<StoredPair> Store::pair(std::int64_t id) const {
    Statement query = connection_->use("SELECT id, state, body, verdict, last_event FROM pair WHERE id = ?1");
    return row<StoredPair>(query.with(id), pair_of);
}

std::vector<StoredPair> Store::pairs() const {
    Statement query = connection_->use("SELECT id, state, body, verdict, last_event FROM pair ORDER BY id");
    return rows<StoredPair>(query, pair_of);
}

std::int64_t Store::next_counter(std::string_view series) const {
    Statement query = connection_->use("SELECT max(counter) FROM label WHERE series = ?1");
    return query.with(series).step() ? query.whole(0) + 1 : 1;
}

void Store::put_label(std::int64_t pair, std::string_view series, std::int64_t counter,
                      const record::LabelFacts& facts) {
    connection_
        ->use(
            "INSERT INTO label (number, pair, series, counter, state, date, place, facts) "
            "VALUES (?1, ?2, ?3, ?4, 'valid', ?5, ?6, ?7)")
        .with(facts.number, pair, series, counter, facts.date, facts.place, record::to_json(facts).dump())
        .run();
}

bool Store::void_label(std::string_view number) {
    // The row stays: its number and counter are used for ever.
    Statement change = connection_->use("UPDATE label SET state = 'void' WHERE number = ?1 RETURNING 1");
    const bool found = change.with(number).step();
    if (found) change.run();
    return found;
}

std::optional<StoredLabel> Store::label(std::string_view number) const {
    Statement query = connection_->use(
        "SELECT number, pair, series, counter, state, date, place, facts FROM label WHERE number = ?1");
    return row<StoredLabel>(query.with(number), label_of);
}

std::vector<StoredLabel> Store::labels() const {
    Statement query = connection_->use(
        "SELECT number, pair, series, counter, state, date, place, facts FROM label ORDER BY rowid");
    return rows<StoredLabel>(query, label_of);
}

std::int64_t Store::put_intent(const record::PrintIntent& intent) {
    Statement insert = connection_->use(
        "INSERT INTO intent (pair, label, copy, outcome, say, rules_hash, facts, document) "
        "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) RETURNING id");
    insert
        .with(intent.pair, intent.facts.number, std::int64_t{intent.facts.copy}, word(intent.outcome),
              intent.say, intent.rules_hash, record::to_json(intent.facts).dump())
        .with_blob(8, intent.document);
    insert.step();
    const std::int64_t id = insert.whole(0);
    insert.run();  // to its end: without a transaction, that is where it is committed
    return id;
}

bool Store::set_outcome(std::int64_t id, record::PrintOutcome outcome, std::string_view say) {
    Statement change = connection_->use("UPDATE intent SET outcome = ?2, say = ?3 WHERE id = ?1 RETURNING 1");
    const bool found = change.with(id, word(outcome), say).step();
    if (found) change.run();
    return found;
}

std::optional<record::PrintIntent> Store::intent(std::int64_t id) const {
    Statement query = connection_->use(
        "SELECT id, pair, facts, rules_hash, document, outcome, say FROM intent WHERE id = ?1");
    return row<record::PrintIntent>(query.with(id), whole_intent_of);
}

std::optional<record::PrintIntent> Store::intent(std::string_view number, int copy) const {
    Statement query = connection_->use(
        "SELECT id, pair, facts, rules_hash, document, outcome, say FROM intent WHERE label = ?1 AND copy = "
        "?2");
    return row<record::PrintIntent>(query.with(number, std::int64_t{copy}), whole_intent_of);
}

std::vector<StoredIntent> Store::intents() const {
    Statement query =
        connection_->use("SELECT id, pair, label, copy, outcome, say, rules_hash FROM intent ORDER BY id");
    return rows<StoredIntent>(query, intent_of);
}

std::vector<StoredIntent> Store::intents_of(std::string_view number) const {
    Statement query = connection_->use(
        "SELECT id, pair, label, copy, outcome, say, rules_hash FROM intent WHERE label = ?1 ORDER BY copy");
    return rows<StoredIntent>(query.with(number), intent_of);
}

std::vector<StoredIntent> Store::intents(record::PrintOutcome outcome) const {
    Statement query = connection_->use(
        "SELECT id, pair, label, copy, outcome, say, rules_hash FROM intent WHERE outcome = ?1 ORDER BY id");
    return rows<StoredIntent>(query.with(word(outcome)), intent_of);
}

void Store::quarantine(std::string_view at, const record::AdapterEventId& id, std::string_view line) {
    connection_
        ->use(
            "INSERT INTO quarantine (at, adapter, epoch, number, record_crc, line) "
            "VALUES (?1, ?2, ?3, ?4, ?5, ?6)")
        .with(at, id.adapter, std::int64_t{id.epoch}, std::int64_t{id.number}, std::int64_t{id.record_crc},
              line)
        .run();
}

std::vector<Quarantined> Store::quarantined() const {
    Statement query = connection_->use(
        "SELECT id, at, adapter, epoch, number, record_crc, line FROM quarantine ORDER BY id");
    return rows<Quarantined>(query, [](const Statement& row) {
        return Quarantined{row.whole(0),
                           row.text(1),
                           row.text(2),
                           static_cast<std::uint32_t>(row.whole(3)),
                           static_cast<std::uint32_t>(row.whole(4)),
                           static_cast<std::uint32_t>(row.whole(5)),
                           row.text(6)};
    });
}

}  // namespace pairmark::store
