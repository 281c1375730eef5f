#include "tests/firmware/workbench.hpp"

using namespace pairmark::firmware;
using namespace pairmark::firmware::testing;

TEST_CASE("a new adapter introduces itself every two seconds and says nothing else") {
    Workbench bench;
    bench.pass(9000);
    const std::vector<Said> said = bench.hear();
    REQUIRE(said.size() >= 4);
    for (const Said& one : said) {
        CHECK(one.kind == "HELLO");
        CHECK(one.value("proto") == "1");
        CHECK(one.value("board") == "native");
        CHECK(one.value("id") == "none");
        CHECK(one.value("ep") == "1");
        CHECK(one.value("boot") == "1");
        CHECK(one.value("why") == "power");
        CHECK(one.value("buf") == "255");
        CHECK(one.value("wait") == "0");
        CHECK(one.value("next") == "1");
        CHECK(one.value("store") == "none");
        CHECK(one.value("acked") == "0");
        CHECK(one.value("prof") == "none");
    }
    CHECK(said.size() <= 5);
    CHECK(bench.lamp_was_lit(Cue::host_absent));
}

TEST_CASE("the id that the host gives is kept in both settings slots and said again") {
    Workbench bench;
    bench.pass(1000);
    bench.hear();
    bench.greet(" give=" + our_id);
    const std::vector<Said> hello = bench.hear("HELLO", 1000);
    REQUIRE(!hello.empty());
    CHECK(hello[0].value("id") == our_id);
    for (const std::size_t slot : {0x00U, 0x40U}) {
        std::string kept;
        for (std::size_t i = 0; i < 8; ++i)
            kept += static_cast<char>(bench.eeprom.cells()[slot + 12 + i]);
        CHECK(hex_of(kept) == our_id);
    }
    bench.power_on();
    const std::vector<Said> again = bench.hear("HELLO", 1000);
    REQUIRE(!again.empty());
    CHECK(again[0].value("id") == our_id);
    CHECK(again[0].value("boot") == "2");
}

TEST_CASE("either settings slot alone is enough to know the id, and a damaged one makes the epoch rise") {
    for (const std::size_t slot : {0x00U, 0x40U}) {
        Workbench bench;
        bench.set_up();
        bench.eeprom.cells()[slot + 20] ^= 0x10;
        bench.power_on();
        const std::vector<Said> hello = bench.hear("HELLO", 1000);
        REQUIRE(!hello.empty());
        CHECK(hello[0].value("id") == our_id);
        CHECK(hello[0].value("ep") == "2");
        bench.power_on();
        const std::vector<Said> mended = bench.hear("HELLO", 1000);
        REQUIRE(!mended.empty());
        CHECK(mended[0].value("ep") == "2");
    }
}

TEST_CASE("an id is given once: a second one is not taken") {
    Workbench bench;
    bench.set_up();
    bench.greet(" give=1111111111111111");
    const std::vector<Said> ready = bench.hear("READY", 1000);
    REQUIRE(ready.size() == 1);
    CHECK(ready[0].value("id") == our_id);
}

TEST_CASE("a greeting is answered with READY once the store is known") {
    Workbench bench;
    bench.pass(1000);
    bench.greet(" give=" + our_id);
    bench.pass(1000);
    bench.hear();
    bench.greet();
    const std::vector<Said> ready = bench.hear("READY", 1000);
    REQUIRE(ready.size() == 1);
    CHECK(ready[0].value("id") == our_id);
    CHECK(ready[0].value("ep") == "1");
    CHECK(ready[0].value("next") == "1");
    CHECK(ready[0].value("wait") == "0");
    CHECK(ready[0].value("prof") == "none");
    bench.power_on();
    const std::vector<Said> hello = bench.hear("HELLO", 1000);
    REQUIRE(!hello.empty());
    CHECK(hello[0].value("store") == our_store);
}

TEST_CASE("a greeting without its store, or of another protocol version, is refused by name") {
    struct Row {
        const char* line;
        const char* why;
    };
    const Row rows[] = {
        {"@GREET store=FEDCBA9876543210 acked=0", "proto"},
        {"@GREET proto=2 store=FEDCBA9876543210 acked=0", "only_version_1"},
        {"@GREET proto=1 acked=0", "store"},
        {"@GREET proto=1 store=FEDC acked=0", "store"},
        {"@GREET proto=1 store=FEDCBA9876543210 give=12", "give"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.line);
        Workbench bench;
        bench.pass(1000);
        bench.hear();
        bench.say(row.line);
        const std::vector<Said> errors = bench.hear("ERROR");
        REQUIRE(errors.size() == 1);
        CHECK(errors[0].value("what") == "malformed");
        CHECK(errors[0].value("kind") == "GREET");
        CHECK(errors[0].value("why") == row.why);
    }
}

TEST_CASE("before the greeting only a greeting is obeyed") {
    Workbench bench;
    bench.pass(1000);
    bench.hear();
    for (const char* line :
         {"@PING n=1", "@CUE n=1 show=keep", "@ASK what=status", "@COMMIT len=1 crc=00000000",
          "@PART at=0 of=1 hex=00", "@ACK id=0123456789ABCDEF ep=1 n=1 rec=00000000"}) {
        CAPTURE(line);
        bench.say(line);
        bench.pass(20);
        const std::vector<Said> said = bench.hear();
        REQUIRE(said.size() == 1);
        CHECK(said[0].kind == "ERROR");
        CHECK(said[0].value("what") == "ungreeted");
    }
}

TEST_CASE("an unknown kind is answered with an error that names it, an error with nothing") {
    Workbench bench;
    bench.set_up();
    bench.say("@DANCE n=1");
    const std::vector<Said> errors = bench.hear("ERROR");
    REQUIRE(errors.size() == 1);
    CHECK(errors[0].value("what") == "unknown");
    CHECK(errors[0].value("kind") == "DANCE");
    bench.say("@ERROR what=unknown kind=HELLO why=test");
    bench.pass(50);
    CHECK(bench.hear().empty());
}

TEST_CASE("a damaged line is told and never acted on") {
    Workbench bench;
    bench.set_up();
    std::string line = signed_line("@CUE n=7 show=discard");
    line[5] = '8';
    bench.board->host_writes(line);
    bench.pass(300);
    const std::vector<Said> said = bench.hear();
    REQUIRE(said.size() == 1);
    CHECK(said[0].kind == "ERROR");
    CHECK(said[0].value("what") == "wrong-crc");
    CHECK_FALSE(bench.lamp_was_lit(Cue::discard));
}

TEST_CASE("a ping is answered, and after 12 s without a good line the host is absent and is called again") {
    Workbench bench;
    bench.set_up();
    bench.say("@PING n=9");
    const std::vector<Said> pong = bench.hear("PONG");
    REQUIRE(pong.size() == 1);
    CHECK(pong[0].value("n") == "9");
    CHECK(pong[0].value("wait") == "0");
    bench.forget_lamps();
    bench.pass(11800);
    CHECK(bench.hear().empty());
    CHECK_FALSE(bench.lamp_was_lit(Cue::host_absent));
    CHECK(bench.hear("HELLO", 6000).size() == 3);
    CHECK(bench.lamp_was_lit(Cue::host_absent));
    bench.greet();
    CHECK(bench.hear("READY", 100).size() == 1);
}

TEST_CASE(
    "a host that greets again in the middle of a session is answered, and the event in flight comes again") {
    Workbench bench;
    bench.set_up();
    bench.measure(print_lens('R', -125, 50, 85));
    REQUIRE(bench.hear("EVENT").size() == 1);
    bench.greet();
    bench.pass(100);
    const std::vector<Said> said = bench.hear();
    REQUIRE(said.size() == 2);
    CHECK(said[0].kind == "READY");
    CHECK(said[0].value("wait") == "1");
    CHECK(said[1].kind == "EVENT");
    CHECK(said[1].value("n") == "1");
}

TEST_CASE("what another store acknowledged is not counted for this one") {
    Workbench bench;
    bench.set_up();
    for (int i = 0; i < 3; ++i) {
        bench.measure(print_lens('R', -100 - 25 * i, 50, 85));
        REQUIRE(bench.take_events(200).size() == 1);
    }
    bench.pass(100);
    bench.power_on();
    std::vector<Said> hello = bench.hear("HELLO", 1000);
    REQUIRE(!hello.empty());
    CHECK(hello[0].value("acked") == "3");
    bench.say("@GREET proto=1 store=AAAAAAAAAAAAAAAA acked=0");
    bench.pass(1000);
    bench.power_on();
    hello = bench.hear("HELLO", 1000);
    REQUIRE(!hello.empty());
    CHECK(hello[0].value("store") == "AAAAAAAAAAAAAAAA");
    CHECK(hello[0].value("acked") == "0");
    CHECK(hello[0].value("next") == "4");
}
