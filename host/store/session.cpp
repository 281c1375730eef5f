#include "host/store/session.hpp"

#include <optional>
#include <set>
#include <tuple>

#include "host/record/fields.hpp"
#include "host/record/json.hpp"
#include "host/record/sha256.hpp"
#include "host/record/words.hpp"

namespace pairmark::store {
namespace {

using nlohmann::json;
using record::BadRecord;

constexpr std::int64_t form = 1;

/// The next line without its line feed. Nullopt at the end of the bytes.
std::optional<std::string> next_line(std::istream& in) {
    std::string line;
    for (int c = in.rdbuf()->sbumpc(); c != std::istream::traits_type::eof(); c = in.rdbuf()->sbumpc()) {
        if (c == '\n') return line;
        if (line.size() == longest_line)
            throw BadRecord("longer than " + std::to_string(longest_line) + " bytes");
        line += static_cast<char>(c);
    }
    if (!line.empty()) throw BadRecord("the file was cut in this line");
    return std::nullopt;
}

json parsed(const std::string& line) {
    try {
        return json::parse(line);
    } catch (const json::parse_error& fault) {
        throw BadRecord("not JSON at byte " + std::to_string(fault.byte));
    } catch (const json::exception&) {
        throw BadRecord("a number is too large");
    }
}

void check_header(const json& value) {
    record::Fields fields(value, "");
    const std::int64_t found = fields.whole("pairmark-session", 1, INT64_MAX);
    if (found != form) throw BadRecord("a newer version of the program wrote this session");
    if (const std::string store = fields.text("store"); !record::is_hex(store, 16)) {
        fields.fail("store", "16 hex digits, found " + record::in_quotes(store));
    }
    fields.text("version");
    fields.done();
}

void check_end(const json& value, std::size_t events, const std::string& hash) {
    record::Fields fields(value, "");
    if (!fields.yes_no("end")) fields.fail("end", "true");
    if (fields.whole("events", 0, INT64_MAX) != static_cast<std::int64_t>(events)) {
        fields.fail("events", std::to_string(events) + ", as many as there are");
    }
    if (fields.text("sha256") != hash)
        fields.fail("sha256", "the hash of the lines before; the file was changed");
    fields.done();
}

using Identity = std::tuple<std::string, std::uint32_t, std::uint32_t>;

std::optional<Identity> identity(const record::Event& event) {
    const record::AdapterEventId* id = nullptr;
    if (const auto* taken = std::get_if<record::ReadingTaken>(&event.body))
        id = taken->id ? &*taken->id : nullptr;
    if (const auto* pressed = std::get_if<record::KeyPressed>(&event.body)) id = &pressed->id;
    if (id == nullptr) return std::nullopt;
    return Identity{id->adapter, id->epoch, id->number};
}

/// Takes the lines of a session one by one.
class Reader {
  public:
    /// False after the last line.
    bool take(const std::string& line) {
        const json value = parsed(line);
        if (!has_header_) {
            check_header(value);
            has_header_ = true;
        } else if (value.is_object() && value.contains("end")) {
            check_end(value, events_.size(), hash_.finish());
            return false;
        } else {
            take_event(value);
        }
        hash_.add(line);
        hash_.add("\n");
        return true;
    }

    std::vector<record::Event> events() && { return std::move(events_); }

  private:
    void take_event(const json& value) {
        record::Event event = record::event_from_json(value);
        const auto expected = static_cast<std::int64_t>(events_.size()) + 1;
        if (event.sequence != expected) throw BadRecord("seq: expected " + std::to_string(expected));
        if (auto known = identity(event); known && !seen_.insert(std::move(*known)).second) {
            throw BadRecord("body.id: this adapter's event stands in an earlier line");
        }
        events_.push_back(std::move(event));
    }

    bool has_header_ = false;
    record::Sha256 hash_;
    std::set<Identity> seen_;
    std::vector<record::Event> events_;
};

}  // namespace

SessionWriter::SessionWriter(std::ostream& out, const std::string& store_id) : out_(out) {
    put({{"pairmark-session", form}, {"store", store_id}, {"version", PAIRMARK_VERSION}});
}

void SessionWriter::put(const json& line) {
    const std::string text = line.dump() + "\n";
    hash_.add(text);
    out_ << text;
}

void SessionWriter::add(const record::Event& event) {
    put(record::to_json(event));
    ++events_;
}

void SessionWriter::finish() {
    out_ << json{{"end", true}, {"events", events_}, {"sha256", hash_.finish()}}.dump() << '\n';
}

std::int64_t export_session(const Store& store, std::ostream& out) {
    const Transaction at_one_moment = store.snapshot();
    SessionWriter writer(out, store.id());
    store.for_each_event([&writer](const record::Event& event) { writer.add(event); });
    writer.finish();
    return store.last_sequence();
}

std::vector<record::Event> read_session(std::istream& in) {
    Reader reader;
    std::int64_t number = 0;
    try {
        bool going = true;
        while (going) {
            ++number;
            const auto line = next_line(in);
            if (!line) throw BadRecord("the file ends before its last line, which says \"end\"");
            going = reader.take(*line);
        }
        ++number;
        if (next_line(in)) throw BadRecord("there is more after the last line");
    } catch (const BadRecord& fault) {
        throw BadRecord("line " + std::to_string(number) + ": " + fault.what());
    }
    return std::move(reader).events();
}

}  // namespace pairmark::store
