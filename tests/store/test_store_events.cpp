#include <catch2/catch.hpp>

#include "host/record/json.hpp"
#include "host/record/sha256.hpp"
#include "tests/record/random_events.hpp"
#include "tests/store/fresh_folder.hpp"

using namespace pairmark;
using store::Known;
using store::Store;
using tests::noted;

namespace {

std::vector<record::Event> all_events(const Store& opened, std::int64_t from = 1) {
    std::vector<record::Event> out;
    opened.for_each_event([&out](const record::Event& event) { out.push_back(event); }, from);
    return out;
}

}  // namespace

TEST_CASE("Events are numbered from 1 without gaps, whatever was rolled back between them") {
    const tests::FreshFolder folder;
    Store opened = Store::open(folder / "s.db");
    std::int64_t expected = 0;
    for (int i = 0; i < 30; ++i) {
        store::Transaction transaction = opened.begin();
        record::Event event = noted("n" + std::to_string(i));
        CHECK(opened.append(event) == expected + 1);
        CHECK(event.sequence == expected + 1);
        if (i % 3 == 0) continue;  // rolled back
        transaction.commit();
        ++expected;
    }
    CHECK(opened.last_sequence() == expected);
    const auto events = all_events(opened);
    REQUIRE(events.size() == 20);
    for (std::size_t i = 0; i < events.size(); ++i) {
        CHECK(events[i].sequence == static_cast<std::int64_t>(i) + 1);
    }
}

TEST_CASE("Every kind of event is the same after the store was closed and opened again") {
    const tests::FreshFolder folder;
    tests::RandomEvents random(42);
    std::vector<record::Event> put;
    {
        Store opened = Store::open(folder / "s.db");
        store::Transaction transaction = opened.begin();
        for (int i = 0; i < 1000; ++i) {
            record::Event event = random.make(static_cast<std::size_t>(i) % tests::RandomEvents::kinds);
            opened.append(event);
            put.push_back(event);
        }
        transaction.commit();
    }
    const Store opened = Store::open(folder / "s.db");
    const auto got = all_events(opened);
    REQUIRE(got.size() == put.size());
    for (std::size_t i = 0; i < put.size(); ++i) {
        INFO(record::to_json(put[i]).dump());
        REQUIRE(tests::same(got[i], put[i]));
    }
    CHECK(all_events(opened, 900).size() == 101);
    CHECK(all_events(opened, 900).front().sequence == 900);
    CHECK(opened.last_moment() == put.back().at);
}

TEST_CASE("An adapter's event is known again by all four of its marks") {
    const tests::FreshFolder folder;
    Store opened = Store::open(folder / "s.db");
    const record::AdapterEventId id{"0123456789ABCDEF", 3, 17, 0xFFFFFFFF};
    record::Event event = tests::reading_of(id);
    CHECK(opened.find(id) == Known::unknown);
    CHECK(opened.last_number(id.adapter, id.epoch) == 0);
    opened.append(event);

    struct Row {
        record::AdapterEventId id;
        Known known;
    };
    const std::vector<Row> rows{
        {{"0123456789ABCDEF", 3, 17, 0xFFFFFFFF}, Known::same},
        {{"0123456789ABCDEF", 3, 17, 0xFFFFFFFE}, Known::clash},
        {{"0123456789ABCDEF", 3, 17, 0}, Known::clash},
        {{"0123456789ABCDEF", 3, 18, 0xFFFFFFFF}, Known::unknown},
        {{"0123456789ABCDEF", 4, 17, 0xFFFFFFFF}, Known::unknown},
        {{"0123456789ABCDEE", 3, 17, 0xFFFFFFFF}, Known::unknown},
    };
    for (const Row& row : rows) {
        CHECK(opened.find(row.id) == row.known);
    }
    record::Event again = tests::reading_of(id);
    CHECK_THROWS_AS(opened.append(again), std::logic_error);
    CHECK(opened.last_sequence() == 1);
}

TEST_CASE("The last number is that of one adapter and one epoch, up to the largest") {
    const tests::FreshFolder folder;
    Store opened = Store::open(folder / "s.db");
    const std::string one = "0000000000000001";
    const std::string two = "0000000000000002";
    for (const auto& [adapter, epoch, number] :
         std::vector<std::tuple<std::string, std::uint32_t, std::uint32_t>>{
             {one, 1, 1}, {one, 1, 2}, {one, 2, 7}, {two, 1, 4294967295U}, {one, 1, 3}}) {
        record::Event event = tests::reading_of({adapter, epoch, number, 5});
        opened.append(event);
    }
    record::Event key{0, "2026-11-24T22:50:00.123Z",
                      record::KeyPressed{{one, 1, 4, 9}, record::Key::undo, false, false}};
    opened.append(key);
    CHECK(opened.last_number(one, 1) == 4);
    CHECK(opened.last_number(one, 2) == 7);
    CHECK(opened.last_number(two, 1) == 4294967295U);
    CHECK(opened.last_number(two, 2) == 0);
}

TEST_CASE("Readings that a person typed have no identity and do not clash") {
    const tests::FreshFolder folder;
    Store opened = Store::open(folder / "s.db");
    for (int i = 0; i < 3; ++i) {
        record::Event event = tests::reading_of({});
        std::get<record::ReadingTaken>(event.body).id.reset();
        opened.append(event);
    }
    CHECK(opened.last_sequence() == 3);
}

TEST_CASE("An event that could not be read back is refused, and nothing of it is kept") {
    const tests::FreshFolder folder;
    Store opened = Store::open(folder / "s.db");
    record::Event bad_text = noted("link", "\xff");
    CHECK_THROWS_AS(opened.append(bad_text), record::BadRecord);
    record::Event bad_at = noted("link");
    bad_at.at = "yesterday";
    CHECK_THROWS_AS(opened.append(bad_at), record::BadRecord);
    record::Event bad_power = tests::reading_of({"0123456789ABCDEF", 1, 1, 1});
    std::get<record::ReadingTaken>(bad_power.body).reading.lenses[0].power.sphere =
        optics::Dioptre::hundredths(9999);
    CHECK_THROWS_AS(opened.append(bad_power), record::BadRecord);
    CHECK(opened.last_sequence() == 0);
}

TEST_CASE("A text in force is kept once, and stands whole in every event that names it") {
    const tests::FreshFolder folder;
    Store opened = Store::open(folder / "s.db");
    const std::string rules(50'000, 'r');
    const std::string hash = record::sha256(rules);
    for (int i = 0; i < 20; ++i) {
        record::Event event{0, "2026-11-24T22:50:00.123Z", record::TextInForce{"rules", hash, rules}};
        opened.append(event);
    }
    CHECK(opened.text(hash) == rules);
    CHECK_FALSE(opened.text(std::string(64, '0')));
    for (const record::Event& event : all_events(opened)) {
        CHECK(std::get<record::TextInForce>(event.body).text == rules);
    }
    const std::uintmax_t size =
        std::filesystem::file_size(folder / "s.db") + std::filesystem::file_size(folder / "s.db-wal");
    CHECK(size < 20 * rules.size());
}

TEST_CASE("What cannot be believed goes to quarantine, with the line as it came") {
    const tests::FreshFolder folder;
    Store opened = Store::open(folder / "s.db");
    CHECK(opened.quarantined().empty());
    opened.quarantine("2026-11-24T22:50:00.123Z", {"0123456789ABCDEF", 3, 17, 4294967295U},
                      "@EVENT n=17 '; --");
    const auto kept = opened.quarantined();
    REQUIRE(kept.size() == 1);
    CHECK(kept[0].line == "@EVENT n=17 '; --");
    CHECK(kept[0].record_crc == 4294967295U);
    CHECK(kept[0].number == 17);
    CHECK(kept[0].epoch == 3);
    CHECK(opened.find({"0123456789ABCDEF", 3, 17, 4294967295U}) == Known::unknown);
}
