// What a link to an adapter meets, one thing at a time, with the real daemon and the adapter's real core.
#include <catch2/catch.hpp>
#include <set>

#include "host/pairing/question.hpp"
#include "tests/bench/lines.hpp"
#include "tests/days/volunteer.hpp"

namespace pairmark::days {
namespace {

const std::string port = "/dev/ttyACM0";

/// A bench on which nothing goes wrong by itself.
struct Bench {
    explicit Bench(bool plugged = true) {
        if (plugged) world.ports.plug_in(port, world.box());
    }
    void begin() {
        world.start_daemon();
        REQUIRE(is_ready());
    }
    /// The adapter is greeted, or is greeted again.
    bool is_ready(std::size_t times = 1) {
        return world.wait(
            [&] { return said("is ready") >= times && !world.box().lamp(firmware::Cue::host_absent); },
            60'000);
    }
    std::size_t said(const std::string& part) const {
        const std::string all = world.said();
        std::size_t times = 0;
        for (std::size_t at = all.find(part); at != std::string::npos; at = all.find(part, at + 1))
            ++times;
        return times;
    }
    Lens right(int nth = 0) const { return {record::Eye::right, -125 - 25 * nth, -25, nth + 1}; }
    Lens left(int nth = 0) const { return {record::Eye::left, -150 - 25 * nth, -50, nth + 90}; }
    bool told_all() {
        return world.wait([&] { return world.box().has_told_all(); }, 60'000);
    }
    std::size_t readings() { return world.screen().readings().size(); }
    const record::Pair& pair(std::int64_t id) {
        const record::Pair* found = world.screen().table().find(id);
        REQUIRE(found != nullptr);
        return *found;
    }
    void printed_once(const std::string& number) {
        world.wait(1000);
        CHECK(std::count_if(world.printer.pile.begin(), world.printer.pile.end(),
                            [&](const FakePrinter::Sheet& sheet) { return sheet.number == number; }) == 1);
    }

    World world{1};
    Volunteer volunteer{world, Chance(1, 99)};
};

}  // namespace

TEST_CASE(
    "a board that resets when its port is opened loses nothing, and its next lens asks instead of joining") {
    Bench at;
    at.world.box().resets_on_open = true;
    at.begin();
    CHECK(at.world.box().starts() == 1);
    REQUIRE(at.volunteer.measure(at.right()));
    REQUIRE(at.told_all());
    at.world.kill_daemon();
    at.world.start_daemon();
    REQUIRE(at.is_ready(2));
    CHECK(at.world.box().starts() == 2);
    REQUIRE(at.volunteer.measure(at.left()));
    REQUIRE(at.told_all());
    CHECK(at.readings() == 2);
    REQUIRE(pairing::has_question(at.pair(1), pairing::ask::after_restart));
    CHECK(at.world.printer.pile.empty());
    (void)at.world.act({"answer", 1, {}, "same-pair"});
    at.printed_once(at.world.screen().table().number(1));
}

TEST_CASE("what waits in a board that resets on opening comes after the reset, once, and is held as late") {
    Bench at;
    at.world.box().resets_on_open = true;
    REQUIRE(at.volunteer.measure(at.right()));
    REQUIRE(at.volunteer.measure(at.left()));
    at.world.start_daemon();
    REQUIRE(at.is_ready());
    REQUIRE(at.told_all());
    CHECK(at.readings() == 2);
    CHECK(at.pair(1).late);
    CHECK(at.world.printer.pile.empty());
}

TEST_CASE("an adapter that comes back under another port's name is found, and its half pair goes on") {
    Bench at;
    at.begin();
    REQUIRE(at.volunteer.measure(at.right()));
    REQUIRE(at.told_all());
    at.world.ports.unplug(port);
    REQUIRE(at.volunteer.measure(at.left()));  // kept by the adapter meanwhile
    CHECK(at.said("is gone") == 1);
    at.world.ports.plug_in("/dev/ttyACM3", at.world.box());
    REQUIRE(at.told_all());
    CHECK(at.said("the adapter on /dev/ttyACM3 is ready") == 1);
    CHECK(at.readings() == 2);
    CHECK(at.pair(1).state == record::PairState::labelled);
    at.printed_once(at.world.screen().table().number(1));
}

TEST_CASE(
    "of two adapters one is served at a time, and the other's readings wait, keep their own numbers, and "
    "never "
    "join") {
    Bench at;
    at.begin();
    REQUIRE(at.volunteer.measure(at.right()));
    REQUIRE(at.told_all());
    AdapterBox& other = at.world.other_box();
    other.power_on();
    at.world.ports.plug_in("/dev/ttyACM1", other);
    REQUIRE(at.world.wait([&] { return other.running(); }, 10'000));
    other.print(at.left().capture());
    at.world.wait(30'000);
    CHECK(other.waiting() == 1);
    CHECK(at.readings() == 1);
    CHECK(at.world.ports.in_use() == port);
    at.world.ports.unplug(port);
    REQUIRE(at.world.wait([&] { return other.has_told_all(); }, 60'000));
    REQUIRE(at.readings() == 2);
    CHECK(at.pair(1).state != record::PairState::labelled);
    CHECK(at.world.printer.pile.empty());
    std::set<std::string> adapters;
    at.world.store().for_each_event([&adapters](const record::Event& event) {
        if (const auto* taken = std::get_if<record::ReadingTaken>(&event.body)) {
            adapters.insert(taken->id->adapter);
            CHECK(taken->id->number == 1);
        }
    });
    CHECK(adapters.size() == 2);
    CHECK(at.world.store().quarantined().empty());
}

TEST_CASE("another adapter that comes while the daemon is down does not join the half pair of before") {
    Bench at;
    at.begin();
    REQUIRE(at.volunteer.measure(at.right()));
    REQUIRE(at.told_all());
    at.world.kill_daemon();
    at.world.ports.unplug(port);
    AdapterBox& other = at.world.other_box();
    other.power_on();
    REQUIRE(at.world.wait([&] { return other.running(); }, 10'000));
    at.world.ports.plug_in("/dev/ttyACM1", other);
    at.world.start_daemon();
    at.world.wait(30'000);
    other.print(at.left().capture());
    REQUIRE(at.world.wait([&] { return at.readings() == 2 && other.has_told_all(); }, 60'000));
    CHECK(at.pair(1).state != record::PairState::labelled);
    CHECK(at.world.printer.pile.empty());
}

TEST_CASE("an adapter that was served before and kept its power does not join the other's half pair either") {
    // Nothing of its own gives it away: no reset, a known epoch, and this store is the last that greeted it.
    Bench at(false);
    AdapterBox& other = at.world.other_box();
    other.power_on();
    at.world.ports.plug_in("/dev/ttyACM1", other);
    at.world.start_daemon();
    REQUIRE(at.world.wait([&] { return at.said("is ready") == 1; }, 60'000));
    const auto measure_there = [&](const Lens& lens, std::size_t readings) {
        other.print(lens.capture());
        return at.world.wait([&] { return at.readings() == readings && other.has_told_all(); }, 60'000);
    };
    REQUIRE(measure_there(at.right(1), 1));
    REQUIRE(measure_there(at.left(1), 2));
    REQUIRE(at.pair(1).state == record::PairState::labelled);
    at.world.ports.unplug("/dev/ttyACM1");
    at.world.ports.plug_in(port, at.world.box());
    REQUIRE(at.is_ready(2));
    REQUIRE(at.volunteer.measure(at.right()));
    REQUIRE(at.told_all());
    at.world.kill_daemon();
    at.world.ports.unplug(port);
    at.world.ports.plug_in("/dev/ttyACM1", other);
    at.world.start_daemon();
    REQUIRE(at.world.wait([&] { return at.said("is ready") == 3; }, 60'000));
    REQUIRE(measure_there(at.left(), 4));
    CHECK(at.pair(2).state != record::PairState::labelled);
    CHECK(at.world.printer.pile.size() == 1);
}

TEST_CASE(
    "a port that another program has is named with the next step, once, and used as soon as it is free") {
    Bench at;
    at.world.ports.take(port, true);
    at.world.start_daemon();
    at.world.wait(20'000);
    CHECK(at.said(port + " is in use by another program") == 1);
    CHECK(at.said("close the other program") == 1);
    REQUIRE(at.volunteer.measure(at.right()));
    REQUIRE(at.volunteer.measure(at.left()));
    CHECK(at.readings() == 0);
    at.world.ports.take(port, false);
    REQUIRE(at.told_all());
    CHECK(at.said("is ready") == 1);
    CHECK(at.readings() == 2);
}

TEST_CASE("a port taken while the adapter was unplugged is said too, and nothing that waited is lost") {
    Bench at;
    at.begin();
    at.world.ports.unplug(port);
    at.world.ports.take(port, true);
    at.world.ports.plug_in(port, at.world.box());
    REQUIRE(at.volunteer.measure(at.right()));
    at.world.wait(3000);
    CHECK(at.said("is in use by another program") == 1);
    at.world.ports.take(port, false);
    REQUIRE(at.told_all());
    CHECK(at.readings() == 1);
}

TEST_CASE(
    "half a line at connecting, from any byte on and also whole, is no reading, and delays nothing but "
    "itself") {
    const std::string line = tests::event_text(tests::reading(41, {tests::right_lens(-125)}));
    Bench at;
    REQUIRE(at.volunteer.measure(at.right()));
    std::size_t from = 0;
    at.world.ports.on_open = [&](const std::string& path) { at.world.ports.inject(path, line.substr(from)); };
    std::size_t greeted = 0;
    for (; from < line.size(); ++from) {
        at.world.start_daemon();
        REQUIRE(at.is_ready(++greeted));
        REQUIRE(at.told_all());
        CHECK(at.readings() == 1);
        at.world.kill_daemon();
        at.world.wait(13'000);  // until the adapter misses its computer
    }
    CHECK(at.world.ports.opened() == line.size());
}

TEST_CASE(
    "an adapter that is not heard any more is called silent, and what it kept comes once when it is heard "
    "again") {
    Bench at;
    at.begin();
    at.world.ports.silence(true);
    REQUIRE(at.volunteer.measure(at.right()));
    at.world.wait(20'000);
    CHECK(at.said("is silent") + at.said("does not speak as an adapter does") >= 1);
    CHECK(at.readings() == 0);
    at.world.ports.silence(false);
    REQUIRE(at.told_all());
    CHECK(at.readings() == 1);
}

TEST_CASE("a stall in the middle of a line, at any millisecond of it, costs time and no reading") {
    Bench at;
    at.begin();
    constexpr int milliseconds = 60;
    for (int offset = 0; offset < milliseconds; ++offset) {
        const Lens lens = offset % 2 == 0 ? at.right(offset / 2) : at.left(offset / 2);
        const std::size_t before = at.readings();
        at.world.box().print(lens.capture());
        // The record's bytes are written first; then the line goes out.
        REQUIRE(at.world.wait([&] { return at.world.box().accepted_lit(); }, 2000));
        for (int ms = 0; ms < offset / 2; ++ms)
            at.world.wait(1);
        // Half of them: our program does nothing. The others: the cable loses the rest of the line.
        offset % 3 == 0 ? at.world.ports.silence(true) : at.world.stall(true);
        at.world.wait(5000);
        offset % 3 == 0 ? at.world.ports.silence(false) : at.world.stall(false);
        REQUIRE(at.told_all());
        at.world.wait(500);
        CHECK(at.readings() == before + 1);
    }
    CHECK(at.said("is gone") == 0);
}

TEST_CASE("late readings are paired and held, and their label comes when a person releases them, once") {
    Bench at;
    at.begin();
    at.world.kill_daemon();
    REQUIRE(at.volunteer.measure(at.right()));
    REQUIRE(at.volunteer.measure(at.left()));
    at.world.wait(40'000);
    at.world.start_daemon();
    REQUIRE(at.told_all());
    at.world.wait(5000);
    REQUIRE(at.readings() == 2);
    REQUIRE(at.pair(1).late);
    CHECK(at.said("pair 1 is held: a reading of it came late") == 1);
    CHECK(at.world.box().lamp(firmware::Cue::ask));
    CHECK(at.world.printer.pile.empty());
    at.world.wait(600'000);
    CHECK(at.world.printer.pile.empty());
    (void)at.world.act({"release", 1, {}, {}});
    CHECK(at.pair(1).state == record::PairState::labelled);
    at.printed_once(at.world.screen().table().number(1));
    CHECK_FALSE(at.world.act({"release", 1, {}, {}}).empty());
    at.world.wait(60'000);
    CHECK(at.world.printer.pile.size() == 1);
}

}  // namespace pairmark::days
