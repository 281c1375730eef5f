#include "host/link/adapter_session.hpp"

#include <catch2/catch.hpp>

using namespace pairmark;
using namespace pairmark::link;
using namespace std::chrono_literals;
using record::LinkHealth;

namespace {

constexpr const char* id = "00112233AABBCCDD";

std::string finished(protocol::LineWriter& line) {
    const protocol::Text text = line.finish();
    return {text.data, text.size};
}

std::string hello(const char* name = id) {
    protocol::LineWriter line("HELLO");
    line.add_count("proto", 1)
        .add("fw", "0.1.0")
        .add("board", "bench")
        .add("id", name)
        .add_count("ep", 1)
        .add_count("boot", 3);
    line.add("why", "power")
        .add_count("buf", 256)
        .add_count("wait", 2)
        .add_count("next", 9)
        .add("store", "none");
    line.add_count("acked", 0).add("prof", "none");
    return finished(line);
}

std::string ready() {
    protocol::LineWriter line("READY");
    line.add("id", id).add_count("ep", 1).add_count("next", 9).add_count("wait", 2).add("prof", "0BADCAFE");
    return finished(line);
}

std::string event(std::uint32_t number) {
    protocol::EventFields fields;
    fields.number = number;
    fields.epoch = 1;
    fields.kind = protocol::EventKind::reading;
    fields.step = protocol::StepCode::quarter;
    fields.lens_count = 1;
    fields.lens[0].eye = protocol::EyeCode::right;
    fields.lens[0].sphere = -125;
    std::uint8_t record[protocol::record_size];
    const std::uint32_t crc = protocol::pack_record(fields, record);
    const std::uint8_t bytes[8] = {0x00, 0x11, 0x22, 0x33, 0xAA, 0xBB, 0xCC, 0xDD};
    protocol::LineWriter line("EVENT");
    const protocol::Text text = protocol::write_event(line, bytes, fields, crc, true, 120);
    return {text.data, text.size};
}

std::string simple(const char* kind, const char* key, std::uint32_t value) {
    protocol::LineWriter line(kind);
    line.add_count(key, value);
    return finished(line);
}

std::vector<Heard> say(AdapterSession& session, const std::string& bytes, Milliseconds now = 0ms) {
    return session.take({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()}, now);
}

template <typename What>
std::vector<What> only(const std::vector<Heard>& heard) {
    std::vector<What> found;
    for (const Heard& one : heard)
        if (const What* what = std::get_if<What>(&one)) found.push_back(*what);
    return found;
}

/// A session whose greeting is complete.
AdapterSession healthy(Milliseconds now = 0ms) {
    AdapterSession session(now);
    (void)say(session, hello(), now);
    session.greet("1234567890ABCDEF", 8, {});
    (void)session.take_outgoing();
    (void)say(session, ready(), now);
    return session;
}

}  // namespace

TEST_CASE("nothing is sent before the adapter introduced itself") {
    AdapterSession session(0ms);
    (void)session.pass(5s);
    (void)say(session, event(1), 6s);
    session.cue("keep", 6s);
    CHECK(session.take_outgoing().empty());
    CHECK(session.health() == LinkHealth::silent);
}

TEST_CASE("a greeting is complete with READY, and only then events are handed out") {
    AdapterSession session(0ms);
    const auto hellos = only<HelloHeard>(say(session, hello()));
    REQUIRE(hellos.size() == 1);
    CHECK(hellos[0].id == id);
    CHECK(hellos[0].boot == 3);
    CHECK(hellos[0].profile.empty());
    CHECK(session.health() == LinkHealth::greeting);
    session.greet("1234567890ABCDEF", 8, {});
    const std::string greeting = session.take_outgoing();
    CHECK(greeting.rfind("@GREET proto=1 store=1234567890ABCDEF acked=8 *", 0) == 0);
    CHECK(only<EventHeard>(say(session, event(9))).empty());
    CHECK(only<ReadyHeard>(say(session, ready())).size() == 1);
    CHECK(session.health() == LinkHealth::healthy);
    CHECK(only<EventHeard>(say(session, event(9))).size() == 1);
}

TEST_CASE("an adapter without a name hears the one that it is given") {
    AdapterSession session(0ms);
    const auto hellos = only<HelloHeard>(say(session, hello("none")));
    REQUIRE(hellos.size() == 1);
    CHECK(hellos[0].id.empty());
    session.greet("1234567890ABCDEF", 0, "FEDCBA9876543210");
    CHECK(session.take_outgoing().find(" give=FEDCBA9876543210 ") != std::string::npos);
}

TEST_CASE("a lost READY is made good: the greeting is said again until it comes") {
    AdapterSession session(0ms);
    (void)say(session, hello());
    session.greet("1234567890ABCDEF", 8, {});
    const std::string greeting = session.take_outgoing();
    (void)session.pass(1999ms);
    CHECK(session.take_outgoing().empty());
    CHECK(session.next_wake() == 2s);
    (void)session.pass(2s);
    CHECK(session.take_outgoing() == greeting);
}

TEST_CASE("an acknowledgement repeats the event's four values") {
    AdapterSession session = healthy();
    const auto events = only<EventHeard>(say(session, event(9)));
    REQUIRE(events.size() == 1);
    session.acknowledge(events[0]);
    char expected[80];
    (void)std::snprintf(expected, sizeof expected, "@ACK id=%s ep=1 n=9 rec=%08X *", id, events[0].event.crc);
    CHECK(session.take_outgoing().rfind(expected, 0) == 0);
}

TEST_CASE("an event in a damaged line is not handed out, and the noise is told once") {
    AdapterSession session = healthy();
    std::string damaged = event(9);
    damaged[20] ^= 1;
    const auto first = say(session, damaged);
    CHECK(only<EventHeard>(first).empty());
    CHECK(only<NoiseHeard>(first).size() == 1);
    CHECK(only<NoiseHeard>(say(session, damaged)).empty());
    CHECK(only<EventHeard>(say(session, event(9))).size() == 1);
    CHECK(only<NoiseHeard>(say(session, damaged)).size() == 1);
}

TEST_CASE("a ping goes out every 5 s, and 12 s without a good line are silence") {
    AdapterSession session = healthy();
    CHECK(session.next_wake() == 5s);
    (void)session.pass(5s);
    CHECK(session.take_outgoing().rfind("@PING n=1 *", 0) == 0);
    (void)session.pass(10s);
    CHECK(session.take_outgoing().rfind("@PING n=2 *", 0) == 0);
    (void)session.pass(11'999ms);
    CHECK(session.health() == LinkHealth::healthy);
    const auto heard = only<HealthChanged>(session.pass(12s));
    REQUIRE(heard.size() == 1);
    CHECK(heard[0].health == LinkHealth::silent);
    SECTION("an answer in time keeps it healthy") {
        AdapterSession answered = healthy();
        (void)say(answered, simple("PONG", "n", 1), 11s);
        (void)answered.pass(12s);
        CHECK(answered.health() == LinkHealth::healthy);
    }
    SECTION("silence ends with the next HELLO") {
        (void)say(session, hello(), 30s);
        CHECK(session.health() == LinkHealth::greeting);
    }
}

TEST_CASE("a cue is repeated until the adapter shows it, three times at most") {
    AdapterSession session = healthy();
    session.cue("keep", 0ms);
    CHECK(session.take_outgoing().rfind("@CUE n=1 show=keep *", 0) == 0);
    SECTION("shown") {
        (void)say(session, simple("CUED", "n", 1), 1ms);
        (void)session.pass(1s);
        CHECK(session.take_outgoing().empty());
    }
    SECTION("never shown") {
        int sent = 1;
        for (auto now = 1s; now < 5s; now += 1s) {
            (void)session.pass(now);
            if (!session.take_outgoing().empty()) ++sent;
        }
        CHECK(sent == 3);
    }
    SECTION("a newer one takes its place") {
        session.cue("discard", 500ms);
        CHECK(session.take_outgoing().rfind("@CUE n=2 show=discard *", 0) == 0);
        (void)say(session, simple("CUED", "n", 1), 600ms);
        (void)session.pass(1500ms);
        CHECK(session.take_outgoing().rfind("@CUE n=2 show=discard *", 0) == 0);
    }
}

TEST_CASE("a profile goes up in pieces, one unanswered at a time, and is put in force at the end") {
    AdapterSession session = healthy();
    const std::vector<std::uint8_t> compact(150, 0x5A);
    session.send_profile(compact);
    CHECK(session.take_outgoing().rfind("@PART at=0 of=150 hex=", 0) == 0);
    CHECK(session.take_outgoing().empty());
    (void)say(session, simple("TOOK", "at", 64));  // not the piece in flight
    CHECK(session.take_outgoing().empty());
    (void)say(session, simple("TOOK", "at", 0));
    CHECK(session.take_outgoing().rfind("@PART at=64 ", 0) == 0);
    (void)say(session, simple("TOOK", "at", 64));
    CHECK(session.take_outgoing().rfind("@PART at=128 ", 0) == 0);
    (void)say(session, simple("TOOK", "at", 128));
    CHECK(session.take_outgoing().rfind("@COMMIT len=150 crc=", 0) == 0);
    protocol::LineWriter done("DONE");
    done.add("prof", "12345678");
    const auto stored = only<ProfileStored>(say(session, finished(done)));
    REQUIRE(stored.size() == 1);
    CHECK(stored[0].profile == "12345678");
    CHECK(stored[0].fault.empty());
}

TEST_CASE("a profile that the adapter does not take ends with its reason") {
    AdapterSession session = healthy();
    session.send_profile(std::vector<std::uint8_t>(10, 1));
    (void)say(session, simple("TOOK", "at", 0));
    protocol::LineWriter error("ERROR");
    error.add("what", "busy").add("kind", "COMMIT").add("why", "events_wait");
    const auto stored = only<ProfileStored>(say(session, finished(error)));
    REQUIRE(stored.size() == 1);
    CHECK(stored[0].fault == "busy (COMMIT): events wait");
    SECTION("and one that it never answers about, after 20 s") {
        AdapterSession mute = healthy();
        mute.send_profile(std::vector<std::uint8_t>(10, 1));
        (void)say(mute, simple("PONG", "n", 1), 10s);
        CHECK(only<ProfileStored>(mute.pass(19'999ms)).empty());
        CHECK(only<ProfileStored>(mute.pass(20s)).size() == 1);
    }
}

TEST_CASE("an adapter of another protocol version is named, not greeted") {
    AdapterSession session(0ms);
    protocol::LineWriter line("HELLO");
    line.add_count("proto", 2).add("id", id);
    const auto heard = say(session, finished(line));
    CHECK(only<HelloHeard>(heard).empty());
    CHECK(only<ComplaintHeard>(heard).size() == 1);
    CHECK(session.health() == LinkHealth::silent);
}

TEST_CASE(
    "a kind that nobody knows is answered and named, a long name cut, and the adapter's own kinds are not") {
    AdapterSession session = healthy();
    (void)session.take_outgoing();
    const auto heard = only<UnknownHeard>(say(session, simple("WEATHER", "rain", 1)));
    REQUIRE(heard.size() == 1);
    CHECK(heard[0].kind == "WEATHER");
    CHECK(session.take_outgoing().rfind("@ERROR what=unknown kind=WEATHER why=unknown_kind *", 0) == 0);
    const std::string endless(180, 'W');
    CHECK(only<UnknownHeard>(say(session, simple(endless.c_str(), "rain", 1)))[0].kind ==
          std::string(32, 'W'));
    CHECK_FALSE(session.take_outgoing().empty());
    for (const char* own : {"PONG", "CUED", "TOOK", "SHOWN", "READY", "STATUS", "DONE", "ERROR"}) {
        CAPTURE(own);
        CHECK(only<UnknownHeard>(say(session, simple(own, "n", 1))).empty());
        CHECK(session.take_outgoing().empty());
    }
}

TEST_CASE("before the greeting an unknown kind is not answered: nothing is sent to who is not known") {
    AdapterSession session(0ms);
    CHECK(say(session, simple("WEATHER", "rain", 1)).empty());
    CHECK(session.take_outgoing().empty());
}

TEST_CASE("an event with a field outside its range is told by the field's name and not handed out") {
    AdapterSession session = healthy();
    protocol::LineWriter line("EVENT");
    line.add("id", id).add_count("ep", 1).add_count("n", 9).add_hex("rec", 7U).add("k", "reading");
    line.add("step", "quarter").add("e", "R").add("s", "9999").add("c", "0").add("a", "0");
    const auto heard = say(session, finished(line));
    CHECK(only<EventHeard>(heard).empty());
    REQUIRE(only<BadEventHeard>(heard).size() == 1);
    CHECK(only<BadEventHeard>(heard)[0].field == "s");
}
