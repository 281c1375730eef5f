#include <catch2/catch.hpp>
#include <filesystem>

#include "firmware/sim/client_line.hpp"
#include "tests/faults/board_bench.hpp"
#include "tests/faults/simboard_process.hpp"

namespace pairmark::sim {
namespace {

std::string idle(uint64_t wrote, uint64_t wake_us) {
    return "idle wrote=" + std::to_string(wrote) + " wake=" + std::to_string(wake_us);
}

}  // namespace

TEST_CASE("time stands still until the expected clients have joined and the timed one has answered") {
    Place place;
    SimboardProcess board(place, image("exercise"), {"--fast", "--expect", "2"});
    SocketClient host(place / "socket");
    host.say("join host timed");
    SocketClient watcher(place / "socket");
    watcher.say("join watcher");
    CHECK(watcher.next_tick().count("t") == 0);
    CHECK(host.next_tick().count("t") == 0);
    // Nobody has answered, so whoever joins now still sees the same moment.
    SocketClient late(place / "socket");
    late.say("join late");
    CHECK(late.next_tick().count("t") == 0);
    host.say(idle(0, 5000));
    Tick tick = host.next_tick();  // told of the late one, at the same time
    while (tick.count("t") < 5000) {
        host.say(idle(0, 5000));
        tick = host.next_tick();
    }
    CHECK(tick.count("t") >= 5000);
    CHECK(tick.count("t") < 5010);
    SocketClient later(place / "socket");
    later.say("join later");
    CHECK(later.next_tick().count("t") == tick.count("t"));
    CHECK_FALSE(host.has_unread());
    CHECK(board.end() == 0);
}

TEST_CASE("a timed client is told at its wake time, at each line end, and at least once a second") {
    Place place;
    SimboardProcess board(place, image("exercise"), {"--fast", "--expect", "1"});
    SocketClient host(place / "socket");
    Terminal port(place / "host");
    host.say("join host timed");
    host.next_tick();
    host.say(idle(0, 20'000));
    CHECK(host.next_tick().count("t") / 10 == 2000);
    port.write("ab\ncd\n");
    host.say("idle wrote=6 wake=never");
    Tick tick = host.next_tick();
    CHECK(tick.count("host") == 3);
    CHECK(tick.count("t") < 30'000);
    CHECK(port.read(3) == "ab\n");
    host.say("idle wrote=6 wake=never");
    CHECK(host.next_tick().count("host") == 6);
    CHECK(port.read(3) == "cd\n");
    const uint64_t before = tick.count("t");
    host.say("idle wrote=6 wake=never");
    tick = host.next_tick();
    CHECK(tick.count("t") > before + 1'000'000);
    CHECK(tick.count("t") < before + 1'010'000);
}

TEST_CASE("of what a client writes, exactly the promised bytes are taken before time goes on") {
    Place place;
    SimboardProcess board(place, image("exercise"), {"--fast", "--expect", "1"});
    SocketClient instrument(place / "socket");
    Terminal port(place / "instrument");
    Terminal host(place / "host");
    instrument.say("join instrument timed");
    instrument.next_tick();
    instrument.say(idle(0, 10'000));  // let it start
    instrument.next_tick();
    port.write("+1.25-0.50");
    instrument.say("idle wrote=5 wake=500000");
    Tick tick = instrument.next_tick();
    CHECK(tick.count("host") == 5);
    CHECK(host.read(5) == "+1.25");
    instrument.say("idle wrote=10 wake=1000000");
    tick = instrument.next_tick();
    CHECK(tick.count("host") == 10);
    CHECK(host.read(5) == "-0.50");
}

TEST_CASE("keys, lamps and power are reached through the socket, and each change is told") {
    Place place;
    SimboardProcess board(place, image("exercise"), {"--fast", "--expect", "1", "--eeprom", place / "cells"});
    SocketClient hand(place / "socket");
    hand.say("join hand timed");
    Tick tick = hand.next_tick();
    CHECK(tick.fields.at("lamps") == "00000000");
    CHECK(tick.fields.at("state") == "running");
    hand.say(idle(0, 10'000));
    hand.next_tick();
    hand.say("key undo down");
    hand.say("idle wrote=0 wake=never");
    tick = hand.next_tick();
    CHECK(tick.fields.at("lamps") == "00100000");
    CHECK(tick.count("t") < 13'000);
    hand.say("power cut");
    hand.say("idle wrote=0 wake=never");
    tick = hand.next_tick();
    CHECK(tick.fields.at("state") == "dead");
    CHECK(tick.fields.at("lamps") == "00000000");
    hand.say("power on");
    hand.say("idle wrote=0 wake=never");
    tick = hand.next_tick();
    CHECK(tick.fields.at("state") == "running");
    hand.say("nonsense");
    hand.say("save");
    hand.say("idle wrote=0 wake=never");
    hand.next_tick();
    CHECK(std::filesystem::file_size(place / "cells") == 4096);
}

TEST_CASE("a client that goes no longer holds time up, and its port can be opened again") {
    Place place;
    SimboardProcess board(place, image("exercise"), {"--fast", "--expect", "2"});
    SocketClient stays(place / "socket");
    stays.say("join stays timed");
    {
        Terminal port(place / "host");
        SocketClient host(place / "socket");
        host.say("join host timed");
        host.next_tick();
        stays.next_tick();
        host.say(idle(0, 10'000));
        stays.say(idle(0, 10'000));
        host.next_tick();
        stays.next_tick();
        port.write("x");
        host.say("idle wrote=1 wake=never");
        stays.say(idle(0, 50'000));
        CHECK(stays.next_tick().count("host") == 1);
        CHECK(port.read(1) == "x");
    }
    stays.say(idle(0, 100'000));
    for (uint64_t t = 0; t < 100'000;) {  // told once of the departure, then of the time
        t = stays.next_tick().count("t");
        stays.say(idle(0, 100'000));
    }
    Terminal port(place / "host");
    SocketClient host(place / "socket");
    host.say("join host timed");
    host.next_tick();
    port.write("y\n");
    host.say("idle wrote=2 wake=never");
    for (Tick tick = stays.next_tick(); tick.count("host") < 3; tick = stays.next_tick())
        stays.say("idle wrote=0 wake=never");
    CHECK(port.read(2) == "y\n");
}

TEST_CASE("a dead image is told as dead while time goes on") {
    Place place;
    SimboardProcess board(place, image("dead"), {"--fast", "--expect", "1"});
    SocketClient client(place / "socket");
    client.say("join client timed");
    client.next_tick();
    client.say(idle(0, 3'000'000));
    Tick tick;
    for (uint64_t t = 0; t < 3'000'000; t = tick.count("t")) {
        tick = client.next_tick();
        client.say(idle(0, 3'000'000));
    }
    CHECK(tick.fields.at("state") == "dead");
}

TEST_CASE("in real time the ports work without any client, and a watcher is told of a lamp") {
    Place place;
    SimboardProcess board(place, image("exercise"), {});
    Terminal port(place / "host");
    SocketClient watcher(place / "socket");
    watcher.say("join watcher");
    watcher.next_tick();
    watcher.say("idle wrote=0 wake=never");
    // A byte that comes before the image has switched its receiver on is lost, as on a real board; the lamp
    // shows that it runs.
    watcher.say("key aside down");
    CHECK(watcher.next_tick().fields.at("lamps") == "00010000");
    port.write("hello\r\n\x03\x04");
    CHECK(port.read(9) == "hello\r\n\x03\x04");
    CHECK(board.end() == 0);
    CHECK_FALSE(std::filesystem::exists(std::filesystem::symlink_status(place / "host")));
    CHECK_FALSE(std::filesystem::exists(place / "socket"));
}

TEST_CASE("a client's line is read whole or refused with what was expected") {
    struct Row {
        const char* text;
        const char* why;  // empty: it is understood
    };
    const Row rows[] = {
        {"join host timed", ""},
        {"join host", ""},
        {"join", "expected: join NAME [timed]"},
        {"join host times", "expected: join NAME [timed]"},
        {"key go down", ""},
        {"key gone down", "expected: key go|down|undo|aside down|up"},
        {"key go", "expected: key go|down|undo|aside down|up"},
        {"power cut", ""},
        {"power off", "expected: power cut|on"},
        {"reset", ""},
        {"save", ""},
        {"idle wrote=12 wake=never", ""},
        {"idle wrote=12 wake=99", ""},
        {"idle wrote=-1 wake=never", "expected: idle wrote=BYTES wake=MICROSECONDS|never"},
        {"idle wrote=1 wake=soon", "expected: idle wrote=BYTES wake=MICROSECONDS|never"},
        {"idle wake=99", "expected: idle wrote=BYTES wake=MICROSECONDS|never"},
        {"", "unknown line"},
        {"restart", "unknown line"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.text);
        std::string why;
        CHECK(read_client_line(row.text, why).has_value() == std::string(row.why).empty());
        CHECK(why == row.why);
    }
}

}  // namespace pairmark::sim
