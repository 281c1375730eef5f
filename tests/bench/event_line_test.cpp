// A session's events as lines for a technician.
#include "host/bench/event_line.hpp"

#include <catch2/catch.hpp>

#include "tests/bench/bench.hpp"
#include "tests/record/random_events.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using Catch::Contains;
using protocol::Key;

namespace {

Words lines_of_day(const Bench& bench) {
    bench::EventLines lines;
    Words all;
    for (const record::Event& event : bench.events())
        all.push_back(lines.take(event).text);
    return all;
}

}  // namespace

TEST_CASE("Each event is a line that says what came of it: pair, verdict, tray, label, void numbers") {
    Bench bench;
    bench.start();
    bench.measure_kept_pair();
    bench.press(Key::undo);
    (void)bench.mark({{"tint", "dark"}});
    const std::string number = bench.store->labels().at(0).number;
    const Words lines = lines_of_day(bench);
    REQUIRE(lines.size() >= 8);
    CHECK_THAT(lines[0],
               Catch::StartsWith("1      2026-11-24 12:00:00.000  started   ") && Contains("bench A1"));
    CHECK_THAT(lines[1], Contains("settings in force") && Contains("SHA-256"));
    CHECK_THAT(lines[3], Contains("R −1.25 DS, number 1  > pair 1 open"));
    CHECK_THAT(lines[4], Contains("L −1.50 DS, number 2  > pair 1 decided, keep, stock"));
    CHECK_THAT(lines[5], Contains("pair 1 gets label " + number + ", 2026-11-24, Box 1-01") &&
                             Contains("> pair 1 labelled, keep, stock, label " + number));
    CHECK_THAT(lines[6], Contains("label " + number + " printed"));
    CHECK_THAT(lines[7], Contains("undo, number 3  > label " + number + " is void"));
    CHECK_THAT(lines[8], Contains("mark tint=dark"));
}

TEST_CASE("No byte of an event reaches the terminal as it is, and every kind is one line") {
    RandomEvents random(11);
    bench::EventLines lines;
    for (std::int64_t i = 1; i <= 400; ++i) {
        record::Event event = random.make(static_cast<std::size_t>(i) % RandomEvents::kinds);
        event.sequence = i;
        if (std::holds_alternative<record::TextInForce>(event.body)) continue;
        const std::string text = lines.take(event).text;
        CAPTURE(text);
        for (const char c : text)
            REQUIRE(static_cast<unsigned char>(c) >= 0x20);
    }
    bench::EventLines others;
    const auto line =
        others.take({1, "2026-11-24T12:00:00.000Z", record::Noted{"a\x1b[2J", "b\nc\u202e\x9b"}});
    CHECK_THAT(line.text, Contains("a\\x1B[2J: b\\x0Ac\\xE2\\x80\\xAE\\x9B"));
}

TEST_CASE("The JSON line has the event, what came of it, and of a text the hash only") {
    Bench bench;
    bench.start();
    bench.measure_kept_pair();
    bench::EventLines lines;
    std::vector<nlohmann::json> objects;
    for (const record::Event& event : bench.events())
        objects.push_back(lines.take(event).object);
    CHECK_FALSE(objects[1]["body"].contains("text"));
    CHECK(objects[1]["body"]["hash"].is_string());
    CHECK(objects[5]["kind"] == "numbered");
    REQUIRE(objects[5]["pairs"].size() == 1);
    CHECK(objects[5]["pairs"][0]["state"] == "labelled");
    CHECK(objects[5]["pairs"][0]["verdict"] == "keep");
    CHECK(objects[5]["pairs"][0]["number"] == objects[5]["body"]["number"]);
}

TEST_CASE("A text that this program cannot use is said, and the events after it are shown all the same") {
    bench::EventLines lines;
    const auto bad =
        lines.take({1, "2026-11-24T12:00:00.000Z", record::TextInForce{"rules", std::string(64, '0'), "{"}});
    CHECK_THAT(bad.text, Contains("this program cannot use it"));
    const auto next = lines.take({2, "2026-11-24T12:00:00.000Z", record::Noted{"n", "more"}});
    CHECK_THAT(next.text, Contains("n: more"));
}
