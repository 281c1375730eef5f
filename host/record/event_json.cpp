// JSON form of events: {"seq":1,"at":"...","kind":"reading","body":{...}}.
#include <algorithm>
#include <array>

#include "host/record/fields.hpp"
#include "host/record/json.hpp"
#include "host/record/sha256.hpp"
#include "host/record/words.hpp"

namespace pairmark::record {
namespace {

using nlohmann::json;

constexpr std::int64_t any_count = UINT32_MAX;
constexpr const char* body_place = "body";

/// In the order of EventBody's alternatives.
constexpr std::array<std::string_view, 10> kinds{"started", "text",     "greeted",  "reading", "key",
                                                 "act",     "time-out", "numbered", "printed", "note"};
static_assert(kinds.size() == std::variant_size_v<EventBody>);

constexpr std::array<std::string_view, 14> acts{
    "mark",         "in-order",        "turn-down",   "undo",          "set-aside",     "answer",
    "release",      "go-on",           "print-again", "print-confirm", "print-release", "print-hold",
    "print-resume", "instrument-check"};

std::uint32_t count(Fields& fields, const char* name, std::int64_t least = 0) {
    return static_cast<std::uint32_t>(fields.whole(name, least, any_count));
}

std::string hex(Fields& fields, const char* name, std::size_t digits) {
    std::string text = fields.text(name);
    if (!is_hex(text, digits))
        fields.fail(name, std::to_string(digits) + " hex digits, found " + in_quotes(text));
    return text;
}

std::string words(Fields& fields, const char* name) {
    std::string text = fields.text(name);
    if (text.empty()) fields.fail(name, "a text that is not empty");
    return text;
}

json write(const AdapterEventId& id) {
    return {
        {"adapter", id.adapter}, {"epoch", id.epoch}, {"number", id.number}, {"record_crc", id.record_crc}};
}

AdapterEventId read_id(Fields& outer) {
    Fields fields(outer.required("id"), outer.place("id"));
    AdapterEventId id;
    id.adapter = hex(fields, "adapter", 16);
    id.epoch = count(fields, "epoch");
    id.number = count(fields, "number", 1);
    id.record_crc = count(fields, "record_crc");
    fields.done();
    return id;
}

json write(const Started& started) {
    return {{"version", started.version},
            {"store", started.store},
            {"bench", started.bench},
            {"series", started.series}};
}

void read(Fields& fields, Started& started) {
    started.version = words(fields, "version");
    started.store = hex(fields, "store", 16);
    started.bench = fields.text("bench");
    started.series = fields.text("series");
}

json write(const TextInForce& text) {
    return {{"role", text.role}, {"hash", text.hash}, {"text", text.text}};
}

void read(Fields& fields, TextInForce& text) {
    text.role = fields.text("role");
    if (text.role != "rules" && text.role != "settings") fields.fail("role", "\"rules\" or \"settings\"");
    text.hash = hex(fields, "hash", 64);
    text.text = fields.text("text");
    if (sha256(text.text) != text.hash) fields.fail("hash", "the SHA-256 of the text, in lower case");
}

json write(const Greeted& greeted) {
    return {{"adapter", greeted.adapter}, {"epoch", greeted.epoch},    {"firmware", greeted.firmware},
            {"board", greeted.board},     {"why", greeted.why},        {"reset", greeted.reset},
            {"changed", greeted.changed}, {"missing", greeted.missing}};
}

void read(Fields& fields, Greeted& greeted) {
    greeted.adapter = hex(fields, "adapter", 16);
    greeted.epoch = count(fields, "epoch");
    greeted.firmware = fields.text("firmware");
    greeted.board = fields.text("board");
    greeted.why = fields.text("why");
    greeted.reset = fields.yes_no("reset");
    greeted.changed = fields.yes_no("changed");
    greeted.missing = count(fields, "missing");
}

json write(const ReadingTaken& taken) {
    json out{{"reading", to_json(taken.reading)},
             {"first_after_reset", taken.first_after_reset},
             {"late", taken.late}};
    if (taken.id) out["id"] = write(*taken.id);
    if (taken.age_ms) out["age_ms"] = *taken.age_ms;
    return out;
}

void read(Fields& fields, ReadingTaken& taken) {
    if (fields.optional("id") != nullptr) taken.id = read_id(fields);
    taken.reading = reading_from_json(fields.required("reading"), fields.place("reading"));
    if (fields.optional("age_ms") != nullptr) taken.age_ms = count(fields, "age_ms");
    taken.first_after_reset = fields.yes_no("first_after_reset");
    taken.late = fields.yes_no("late");
}

json write(const KeyPressed& pressed) {
    return {{"id", write(pressed.id)},
            {"key", word(pressed.key)},
            {"long_press", pressed.long_press},
            {"late", pressed.late}};
}

void read(Fields& fields, KeyPressed& pressed) {
    pressed.id = read_id(fields);
    pressed.key = fields.value_of("key", key_from, "\"go-on\", \"turn-down\", \"undo\" or \"set-aside\"");
    pressed.long_press = fields.yes_no("long_press");
    pressed.late = fields.yes_no("late");
}

json write(const Acted& acted) {
    json out{{"act", acted.act}, {"values", acted.values}, {"text", acted.text}};
    if (acted.pair) out["pair"] = *acted.pair;
    return out;
}

Marks read_marks(const json& value, const std::string& where) {
    Fields fields(value, where);
    Marks marks;
    for (const auto& [name, given] : value.items()) {
        if (!given.is_string()) fields.fail(in_quotes(name), "a text");
        const auto& text = given.get_ref<const std::string&>();
        if (const auto fault = fault_in_mark(name, text)) throw BadRecord(where + ": " + *fault);
        marks.emplace(name, text);
    }
    return marks;
}

void read(Fields& fields, Acted& acted) {
    acted.act = fields.text("act");
    if (std::find(acts.begin(), acts.end(), acted.act) == acts.end()) {
        fields.fail("act", "a known act, found " + in_quotes(acted.act));
    }
    acted.pair = fields.whole_if_any("pair", 1, INT64_MAX);
    acted.values = read_marks(fields.required("values"), fields.place("values"));
    acted.text = fields.text("text");
    if (acted.act == "instrument-check" && acted.text != "passed" && acted.text != "failed")
        fields.fail("text", "\"passed\" or \"failed\", found " + in_quotes(acted.text));
}

json write(const TimedOut& timed_out) {
    return {{"what", timed_out.what}, {"pair", timed_out.pair}};
}

void read(Fields& fields, TimedOut& timed_out) {
    timed_out.what = words(fields, "what");
    timed_out.pair = fields.whole("pair", timed_out.what == "instrument-check" ? 0 : 1, INT64_MAX);
}

json write(const Numbered& numbered) {
    return {{"pair", numbered.pair},       {"number", numbered.number}, {"series", numbered.series},
            {"counter", numbered.counter}, {"date", numbered.date},     {"place", numbered.place}};
}

void read(Fields& fields, Numbered& numbered) {
    numbered.pair = fields.whole("pair", 1, INT64_MAX);
    numbered.number = words(fields, "number");
    numbered.series = words(fields, "series");
    numbered.counter = fields.whole("counter", 1, INT64_MAX);
    numbered.date = fields.text("date");
    if (!is_date(numbered.date))
        fields.fail("date", "a date as 2026-11-24, found " + in_quotes(numbered.date));
    numbered.place = fields.text("place");
}

json write(const Printed& printed) {
    return {{"number", printed.number},
            {"copy", printed.copy},
            {"outcome", printed.outcome},
            {"say", printed.say}};
}

void read(Fields& fields, Printed& printed) {
    printed.number = words(fields, "number");
    printed.copy = static_cast<int>(fields.whole("copy", 0, 10'000));
    printed.outcome = fields.text("outcome");
    if (!print_outcome(printed.outcome)) {
        fields.fail("outcome", "a print outcome, found " + in_quotes(printed.outcome));
    }
    printed.say = fields.text("say");
}

json write(const Noted& noted) {
    return {{"what", noted.what}, {"say", noted.say}};
}

void read(Fields& fields, Noted& noted) {
    noted.what = words(fields, "what");
    noted.say = fields.text("say");
}

using Reader = EventBody (*)(const json&);

template <typename Body>
EventBody read_body(const json& value) {
    Fields fields(value, body_place);
    Body body;
    read(fields, body);
    fields.done();
    return body;
}

template <std::size_t... index>
constexpr std::array<Reader, sizeof...(index)> readers_of(std::index_sequence<index...>) {
    return {read_body<std::variant_alternative_t<index, EventBody>>...};
}

constexpr auto readers = readers_of(std::make_index_sequence<kinds.size()>());

}  // namespace

std::string kind_of(const Event& event) {
    return std::string(kinds.at(event.body.index()));
}

json body_to_json(const EventBody& body) {
    return std::visit([](const auto& one) { return write(one); }, body);
}

EventBody body_from_json(const std::string& kind, const json& value) {
    const auto found = std::find(kinds.begin(), kinds.end(), kind);
    if (found == kinds.end()) throw BadRecord("kind: there is no kind of event " + in_quotes(kind));
    return readers[static_cast<std::size_t>(found - kinds.begin())](value);
}

json to_json(const Event& event) {
    return {{"seq", event.sequence},
            {"at", event.at},
            {"kind", kind_of(event)},
            {"body", body_to_json(event.body)}};
}

Event event_from_json(const json& value) {
    Fields fields(value, "");
    Event event;
    event.sequence = fields.whole("seq", 1, INT64_MAX);
    event.at = fields.text("at");
    if (!is_moment(event.at)) {
        fields.fail("at", "a moment as 2026-11-24T22:50:00.123Z, found " + in_quotes(event.at));
    }
    event.body = body_from_json(fields.text("kind"), fields.required("body"));
    fields.done();
    return event;
}

}  // namespace pairmark::record
