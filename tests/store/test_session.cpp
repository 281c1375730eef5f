#include <algorithm>
#include <catch2/catch.hpp>
#include <set>
#include <sstream>

#include "host/record/json.hpp"
#include "host/store/session.hpp"
#include "tests/record/random_events.hpp"
#include "tests/store/fresh_folder.hpp"

using namespace pairmark;

namespace {

constexpr const char* store_id = "0123456789ABCDEF";

std::string written(const std::vector<record::Event>& events) {
    std::ostringstream out;
    store::SessionWriter writer(out, store_id);
    for (const record::Event& event : events) {
        writer.add(event);
    }
    writer.finish();
    return out.str();
}

std::string complaint_about(const std::string& bytes) {
    std::istringstream in(bytes);
    try {
        store::read_session(in);
        return "taken";
    } catch (const record::BadRecord& fault) {
        return fault.what();
    }
}

std::vector<record::Event> some_events(std::uint64_t seed, std::size_t count) {
    tests::RandomEvents random(seed);
    std::vector<record::Event> events;
    for (std::size_t i = 0; i < count; ++i) {
        events.push_back(random.make(i % tests::RandomEvents::kinds));
        events.back().sequence = static_cast<std::int64_t>(i) + 1;
    }
    return events;
}

std::vector<std::string> lines_of(const std::string& bytes) {
    std::vector<std::string> lines;
    std::istringstream in(bytes);
    for (std::string line; std::getline(in, line);) {
        lines.push_back(line + "\n");
    }
    return lines;
}

std::string joined(const std::vector<std::string>& lines) {
    std::string out;
    for (const std::string& line : lines) {
        out += line;
    }
    return out;
}

}  // namespace

TEST_CASE("What a store exports is read back as the same events, texts included") {
    const tests::FreshFolder folder;
    store::Store opened = store::Store::open(folder / "s.db");
    tests::RandomEvents random(99);
    std::vector<record::Event> put;
    {
        store::Transaction transaction = opened.begin();
        for (int i = 0; i < 300; ++i) {
            record::Event event = random.make();
            opened.append(event);
            put.push_back(event);
        }
        transaction.commit();
    }
    std::stringstream file;
    CHECK(store::export_session(opened, file) == 300);
    CHECK_THAT(file.str(),
               Catch::StartsWith("{\"pairmark-session\":1,\"store\":\"" + opened.id() + "\",\"version\":\""));
    const auto got = store::read_session(file);
    REQUIRE(got.size() == put.size());
    for (std::size_t i = 0; i < put.size(); ++i) {
        REQUIRE(tests::same(got[i], put[i]));
    }
}

TEST_CASE("An empty store's session is read as no events") {
    const tests::FreshFolder folder;
    store::Store opened = store::Store::open(folder / "s.db");
    std::stringstream file;
    CHECK(store::export_session(opened, file) == 0);
    CHECK(store::read_session(file).empty());
}

TEST_CASE("A session that was cut is refused, wherever it was cut") {
    const std::string whole = written(some_events(5, 12));
    REQUIRE(complaint_about(whole) == "taken");
    for (std::size_t size = 0; size < whole.size(); ++size) {
        INFO("cut after byte " << size << " of " << whole.size());
        REQUIRE_THAT(complaint_about(whole.substr(0, size)), Catch::StartsWith("line "));
    }
}

TEST_CASE("A session in which any bit was turned before its last line is refused") {
    const std::string whole = written(some_events(6, 10));
    const std::size_t last_line = whole.rfind("{\"end\"");
    REQUIRE(last_line != std::string::npos);
    for (std::size_t at = 0; at < last_line; ++at) {
        std::string changed = whole;
        changed[at] = static_cast<char>(changed[at] ^ (1 << (at % 8)));
        INFO("bit " << at % 8 << " of byte " << at);
        REQUIRE_THAT(complaint_about(changed), Catch::StartsWith("line "));
    }
}

TEST_CASE("A session in which a line is missing, doubled or in another's place is refused") {
    const auto lines = lines_of(written(some_events(7, 10)));
    for (std::size_t i = 0; i < lines.size(); ++i) {
        auto without = lines;
        without.erase(without.begin() + static_cast<std::ptrdiff_t>(i));
        CHECK_THAT(complaint_about(joined(without)), Catch::StartsWith("line "));
        auto doubled = lines;
        doubled.insert(doubled.begin() + static_cast<std::ptrdiff_t>(i), lines[i]);
        CHECK_THAT(complaint_about(joined(doubled)), Catch::StartsWith("line "));
        if (i + 1 == lines.size()) continue;
        auto swapped = lines;
        std::swap(swapped[i], swapped[i + 1]);
        CHECK_THAT(complaint_about(joined(swapped)), Catch::StartsWith("line "));
    }
}

TEST_CASE("What is wrong with a session is told with its line") {
    const std::string header = "{\"pairmark-session\":1,\"store\":\"0123456789ABCDEF\",\"version\":\"1\"}\n";
    const std::string note =
        "{\"seq\":1,\"at\":\"2026-11-24T22:50:00.123Z\",\"kind\":\"note\",\"body\":{\"what\":\"a\",\"say\":"
        "\"\"}}\n";
    struct Row {
        std::string bytes;
        std::string said;
    };
    const std::vector<Row> rows{
        {"", "line 1: the file ends before its last line"},
        {"\n", "line 1: not JSON at byte 1"},
        {"[]\n", "line 1: expected an object, found array"},
        {"{\"pairmark-session\":2,\"store\":\"0123456789ABCDEF\",\"version\":\"1\"}\n",
         "line 1: a newer version of the program wrote this session"},
        {"{\"pairmark-session\":1,\"store\":\"here\",\"version\":\"1\"}\n",
         "line 1: store: expected 16 hex digits"},
        {note, "line 1: pairmark-session: missing"},
        {header + "{\"seq\":1,\n", "line 2: not JSON at byte 10"},
        {header + "{\"seq\":1e999}\n", "line 2: a number is too large"},
        {header + note + note, "line 3: seq: expected 2"},
        {header + note + "{\"end\":true,\"events\":2,\"sha256\":\"\"}\n", "line 3: events: expected 1"},
        {header + note + "{\"end\":true,\"events\":1,\"sha256\":\"\"}\n",
         "line 3: sha256: expected the hash"},
        {header + note + "{\"end\":false}\n", "line 3: end: expected true"},
        {header + note + "{\"seq\":2", "line 3: the file was cut in this line"},
        {written({}) + "{}\n", "line 3: there is more after the last line"},
        {written({}) + "\n", "line 3: there is more after the last line"},
        {written({}) + "x", "line 3: the file was cut in this line"},
        {header + std::string(store::longest_line + 1, ' ') + "\n", "line 2: longer than 4194304 bytes"},
        {header + std::string(100'000, '[') + "\n", "line 2: not JSON"},
        {header + "{\"seq\":1,\"at\":\"\xff\"}\n", "line 2: not JSON"},
    };
    for (const Row& row : rows) {
        INFO(row.bytes.substr(0, 300));
        CHECK_THAT(complaint_about(row.bytes), Catch::StartsWith(row.said));
    }
}

TEST_CASE("A session in which an adapter's event stands twice is refused") {
    record::Event first = tests::reading_of({store_id, 1, 5, 1});
    first.sequence = 1;
    record::Event second = tests::reading_of({store_id, 1, 5, 2});
    second.sequence = 2;
    CHECK_THAT(complaint_about(written({first, second})),
               Catch::StartsWith("line 3: body.id: this adapter's event"));
    std::get<record::ReadingTaken>(second.body).id->epoch = 2;
    CHECK(complaint_about(written({first, second})) == "taken");
}
