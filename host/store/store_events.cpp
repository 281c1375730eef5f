// Events and texts.
#include "host/record/json.hpp"
#include "host/store/connection.hpp"
#include "host/store/store.hpp"

namespace pairmark::store {
namespace {

using nlohmann::json;
using record::BadRecord;

const record::AdapterEventId* id_of(const record::EventBody& body) {
    if (const auto* taken = std::get_if<record::ReadingTaken>(&body))
        return taken->id ? &*taken->id : nullptr;
    if (const auto* pressed = std::get_if<record::KeyPressed>(&body)) return &pressed->id;
    return nullptr;
}

/// The text as it stands in the store. Throws BadRecord for bytes that are not UTF-8.
std::string dumped(const json& value) {
    try {
        return value.dump();
    } catch (const json::exception&) {
        throw BadRecord("a text of the event is not UTF-8");
    }
}

/// The event's columns in the order in which event_of and indexed_in read them; ?1 is the first sequence. A
/// body that is no JSON must not stop the query itself: it is named with its event below.
constexpr const char* event_query =
    "SELECT e.seq, e.at, e.kind, e.body, t.text, e.adapter, e.epoch, e.number, e.record_crc FROM event e "
    "LEFT JOIN text t ON t.hash = CASE WHEN e.kind = 'text' AND json_valid(e.body) "
    "THEN json_extract(e.body, '$.hash') END "
    "WHERE e.seq >= ?1 ORDER BY e.seq";

std::optional<record::AdapterEventId> indexed_in(const Statement& row) {
    if (row.is_null(5) && row.is_null(6) && row.is_null(7) && row.is_null(8)) return std::nullopt;
    return record::AdapterEventId{row.text(5), static_cast<std::uint32_t>(row.whole(6)),
                                  static_cast<std::uint32_t>(row.whole(7)),
                                  static_cast<std::uint32_t>(row.whole(8))};
}

/// One row of that query.
record::Event event_of(const Statement& row) {
    const std::int64_t sequence = row.whole(0);
    try {
        json body = json::parse(row.text(3));
        // A text in force lies in its own table and is put back into its event here.
        if (body.is_object() && !row.is_null(4)) body["text"] = row.text(4);
        return record::event_from_json(
            {{"seq", sequence}, {"at", row.text(1)}, {"kind", row.text(2)}, {"body", std::move(body)}});
    } catch (const json::exception&) {
        throw BadRecord(
            "event " + std::to_string(sequence) +
            ": its body is not JSON; the store is damaged: keep the files as they are, and look with "
            "`pairmark verify` what else is");
    } catch (const BadRecord& fault) {
        throw BadRecord("event " + std::to_string(sequence) + ": " + fault.what());
    }
}

}  // namespace

std::int64_t Store::append(record::Event& event) {
    if (!connection_->in_transaction()) {
        Transaction transaction = begin();
        const std::int64_t sequence = append(event);
        transaction.commit();
        return sequence;
    }
    event.sequence = last_sequence() + 1;
    json body = record::body_to_json(event.body);
    const std::string kind = record::kind_of(event);
    // What could not be read back must not get in: the whole record would be unreadable for it.
    record::event_from_json({{"seq", event.sequence}, {"at", event.at}, {"kind", kind}, {"body", body}});

    if (const auto* text = std::get_if<record::TextInForce>(&event.body)) {
        put_text(text->role, text->hash, text->text);
        body.erase("text");
    }
    std::optional<std::string> adapter;
    std::optional<std::int64_t> epoch;
    std::optional<std::int64_t> number;
    std::optional<std::int64_t> record_crc;
    if (const record::AdapterEventId* id = id_of(event.body)) {
        adapter = id->adapter;
        epoch = id->epoch;
        number = id->number;
        record_crc = id->record_crc;
    }
    connection_
        ->use(
            "INSERT INTO event (seq, at, kind, body, adapter, epoch, number, record_crc) "
            "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)")
        .with(event.sequence, event.at, kind, dumped(body), adapter, epoch, number, record_crc)
        .run();
    return event.sequence;
}

std::int64_t Store::last_sequence() const {
    return connection_->number("SELECT max(seq) FROM event");
}

std::string Store::last_moment() const {
    Statement query = connection_->use("SELECT at FROM event ORDER BY seq DESC LIMIT 1");
    return query.step() ? query.text(0) : std::string();
}

Known Store::find(const record::AdapterEventId& id) const {
    Statement query =
        connection_->use("SELECT record_crc FROM event WHERE adapter = ?1 AND epoch = ?2 AND number = ?3");
    if (!query.with(id.adapter, std::int64_t{id.epoch}, std::int64_t{id.number}).step())
        return Known::unknown;
    return query.whole(0) == std::int64_t{id.record_crc} ? Known::same : Known::clash;
}

std::uint32_t Store::last_number(std::string_view adapter, std::uint32_t epoch) const {
    Statement query = connection_->use("SELECT max(number) FROM event WHERE adapter = ?1 AND epoch = ?2");
    return query.with(adapter, std::int64_t{epoch}).step() ? static_cast<std::uint32_t>(query.whole(0)) : 0;
}

void Store::for_each_event(const std::function<void(const record::Event&)>& take, std::int64_t from) const {
    Statement query = connection_->use(event_query);
    query.with(from);
    std::int64_t expected = from;
    while (query.step()) {
        const record::Event event = event_of(query);
        if (event.sequence != expected++) {
            throw BadRecord("event " + std::to_string(expected - 1) + ": missing");
        }
        take(event);
    }
}

void Store::for_each_event_row(const std::function<void(const EventRow&)>& take) const {
    Statement query = connection_->use(event_query);
    query.with(std::int64_t{1});
    while (query.step()) {
        EventRow row{query.whole(0), std::nullopt, {}, indexed_in(query)};
        try {
            row.event = event_of(query);
        } catch (const BadRecord& bad) {
            row.fault = bad.what();
        }
        take(row);
    }
}

void Store::put_event_index(std::int64_t sequence, const std::optional<record::AdapterEventId>& id) {
    std::optional<std::string> adapter;
    std::optional<std::int64_t> epoch;
    std::optional<std::int64_t> number;
    std::optional<std::int64_t> record_crc;
    if (id) {
        adapter = id->adapter;
        epoch = id->epoch;
        number = id->number;
        record_crc = id->record_crc;
    }
    connection_->use("UPDATE event SET adapter = ?2, epoch = ?3, number = ?4, record_crc = ?5 WHERE seq = ?1")
        .with(sequence, adapter, epoch, number, record_crc)
        .run();
}

void Store::put_text(std::string_view role, std::string_view hash, std::string_view text) {
    connection_->use("INSERT INTO text (hash, role, text) VALUES (?1, ?2, ?3) ON CONFLICT (hash) DO NOTHING")
        .with(hash, role, text)
        .run();
}

std::optional<std::string> Store::text(std::string_view hash) const {
    Statement query = connection_->use("SELECT text FROM text WHERE hash = ?1");
    if (!query.with(hash).step()) return std::nullopt;
    return query.text(0);
}

}  // namespace pairmark::store
