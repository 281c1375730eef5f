// The daemon whole, but for its clock and printer: an adapter's lines in through a pseudo-terminal, its own
// lines out.
#include "host/bench/daemon.hpp"

#include <boost/asio/io_context.hpp>
#include <boost/asio/post.hpp>
#include <catch2/catch.hpp>
#include <set>
#include <thread>

#include "host/bench/control.hpp"
#include "host/learn/profile_json.hpp"
#include "host/link/computer_ports.hpp"
#include "protocol/crc32.hpp"
#include "tests/bench/bench.hpp"
#include "tests/bench/pty.hpp"
#include "tests/trees.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using namespace std::chrono_literals;

namespace {

/// What the adapter has heard at the moment a label is printed.
class WatchingPrinter final : public printing::Printer {
  public:
    explicit WatchingPrinter(Plug& plug) : plug_(plug) {}
    std::string name() const override { return "the tests' printer"; }
    void print(printing::Job job, Begins, Done done) override {
        numbers.push_back(job.number);
        heard_by_then = plug_.heard();
        done({PrintOutcome::printed, ""});
    }
    Words numbers;
    std::string heard_by_then;

  private:
    Plug& plug_;
};

struct Running {
    Running() : store(store::Store::open(folder / "bench.db")) {
        setup.config.database = folder / "bench.db";
        setup.config.labels = folder / "labels";
        setup.config.port = (folder / "port").string();
        setup.rules = std::string(grading::default_rules_text());
        plug.plug_in();
    }
    void start() {
        daemon.emplace(ports, timers, store, printer, announcer, setup);
        daemon->start();
    }
    void start_and_greet(const std::string& profile = "none") {
        start();
        says(hello(), "@GREET ");
        says(ready(profile.c_str()), {});
        run_until(loop, [this] { return !told("profile").empty(); });
        plug.forget();
    }
    /// The adapter says `line`; waits until it has heard `answer`.
    void says(const std::string& line, const std::string& answer) {
        const std::uint64_t before = daemon->progress().read;
        plug.say(line);
        run_until(loop, [&] { return daemon->progress().read >= before + line.size() && hears(answer); });
    }
    bool hears(const std::string& part) { return plug.heard().find(part) != std::string::npos; }
    int times_heard(const std::string& part) {
        int times = 0;
        for (std::size_t at = plug.heard().find(part); at != std::string::npos;
             at = plug.heard().find(part, at + 1))
            ++times;
        return times;
    }
    Words told(const std::string& kind) const {
        Words found;
        std::istringstream lines(said.str());
        for (std::string line; std::getline(lines, line);) {
            const auto object = nlohmann::json::parse(line);
            if (object["tell"] == kind) found.push_back(object["say"]);
        }
        return found;
    }
    std::string ask(const std::string& request) {
        bench::Control control(loop, timers, bench::control_path(setup.config.database),
                               [this](const std::string& line) { return daemon->answer(line); });
        REQUIRE(control.open().empty());
        std::string answer;
        bool done = false;
        std::thread client([&] {
            try {
                answer = bench::ask_daemon(bench::control_path(setup.config.database), request);
            } catch (const std::exception& error) {
                answer = error.what();
            }
            boost::asio::post(loop, [&done] { done = true; });
        });
        run_until(loop, [&done] { return done; });
        client.join();
        return answer;
    }
    bool stored(const protocol::EventLine& event) const {
        return store.find({adapter_id, event.event.epoch, event.event.number, event.crc}) ==
               store::Known::same;
    }

    FreshFolder folder;
    Plug plug{folder / "port"};
    store::Store store;
    WatchingPrinter printer{plug};
    boost::asio::io_context loop;
    link::ComputerPorts ports{loop};
    bench::SteppedTimers timers{std::chrono::sys_days(std::chrono::year(2026) / 11 / 24) + 12h};
    std::ostringstream said;
    bench::Announcer announcer{said, bench::Announcer::Form::json};
    bench::Daemon::Setup setup;
    std::optional<bench::Daemon> daemon;
};

std::vector<std::uint8_t> some_profile() {
    return learn::compact_profile(bytes_of(tests::in_source_tree("demo/instrument.profile.json")));
}

std::string crc_of(const std::vector<std::uint8_t>& bytes) {
    std::array<char, 16> text{};
    (void)std::snprintf(text.data(), text.size(), "%08X", protocol::crc32(bytes.data(), bytes.size()));
    return text.data();
}

}  // namespace

TEST_CASE("An adapter without an id is given one of 16 hex digits, another each time") {
    std::set<std::string> given;
    for (int time = 0; time < 2; ++time) {
        Running at;
        at.start();
        at.says(hello("none"), "\r\n");
        const std::string heard = at.plug.heard();
        REQUIRE(heard.rfind("@GREET ", 0) == 0);
        const std::size_t give = heard.find(" give=");
        REQUIRE(give != std::string::npos);
        const std::string id = heard.substr(give + 6, heard.find(' ', give + 1) - give - 6);
        CHECK(id.size() == 16);
        CHECK(id.find_first_not_of("0123456789ABCDEF") == std::string::npos);
        CHECK_THAT(heard, Catch::Contains("store=" + at.store.id() + " ") && Catch::Contains(" acked=0 "));
        given.insert(id);
    }
    CHECK(given.size() == 2);
}

TEST_CASE("An adapter with an id keeps it, and hears how far this store has its events") {
    Running at;
    at.start_and_greet();
    at.says(event_text(reading(1, {right_lens(-125)})), "@ACK ");
    at.plug.forget();
    at.says(hello(), "@GREET ");
    CHECK(at.hears(" acked=1 "));
    CHECK_FALSE(at.hears("give="));
}

TEST_CASE("A profile is sent where the adapter's differs, and put in force") {
    Running at;
    at.setup.profile = some_profile();
    at.setup.profile_name = "ours.json";
    const std::string size = std::to_string(at.setup.profile.size());
    at.start();
    at.says(hello(), "@GREET ");
    at.says(ready("0BADCAFE"), "@PART at=0 of=" + size + " ");
    CHECK_THAT(at.told("profile").at(0), Catch::Contains("sending ours.json"));
    std::size_t sent = 0;
    for (; sent + 64 < at.setup.profile.size(); sent += 64)
        at.says(answer_text("TOOK", "at", static_cast<std::uint32_t>(sent)),
                "@PART at=" + std::to_string(sent + 64) + " of=");
    at.says(answer_text("TOOK", "at", static_cast<std::uint32_t>(sent)),
            "@COMMIT len=" + size + " crc=" + crc_of(at.setup.profile) + " ");
    protocol::LineWriter done("DONE");
    done.add("what", "profile").add("prof", crc_of(at.setup.profile).c_str());
    at.says(text_of(done), {});
    run_until(at.loop, [&] { return at.told("profile").size() == 2; });
    CHECK_THAT(at.told("profile")[1], Catch::Contains("reads by profile " + crc_of(at.setup.profile)));
}

TEST_CASE("Readings by a profile of one table say so, and those by any other do not") {
    for (const bool ours : {true, false}) {
        CAPTURE(ours);
        Running at;
        at.setup.profile = some_profile();
        at.setup.one_table = true;
        at.start_and_greet(ours ? crc_of(at.setup.profile) : "0BADC0DE");
        const protocol::EventLine event = reading(1, {right_lens(-125)});
        at.says(event_text(event), "@ACK");
        int readings = 0;
        at.store.for_each_event([&](const record::Event& kept) {
            if (const auto* taken = std::get_if<record::ReadingTaken>(&kept.body)) {
                ++readings;
                CHECK(taken->reading.one_table == ours);
            }
        });
        CHECK(readings == 1);
    }
}

TEST_CASE("A profile that the adapter has already is not sent again") {
    Running at;
    at.setup.profile = some_profile();
    at.start_and_greet(crc_of(at.setup.profile));
    CHECK_THAT(at.told("profile").at(0), Catch::Contains("reads by profile"));
    at.timers.advance(3s);
    (void)at.loop.poll();
    CHECK_FALSE(at.hears("@PART"));
}

TEST_CASE("Without any profile the bench says what is missing") {
    Running at;
    at.start_and_greet();
    CHECK_THAT(at.told("profile").at(0), Catch::Contains("no profile") && Catch::Contains("configuration"));
}

TEST_CASE("An event is acknowledged with all four of its values once it is in the store, before its label") {
    Running at;
    at.start_and_greet();
    for (const protocol::EventLine& event : {reading(1, {right_lens(-125)}), reading(2, {left_lens(-150)})}) {
        std::array<char, 16> crc{};
        (void)std::snprintf(crc.data(), crc.size(), "%08X", event.crc);
        const std::string ack = std::string("@ACK id=") + adapter_id +
                                " ep=1 n=" + std::to_string(event.event.number) + " rec=" + crc.data() + " ";
        CHECK_FALSE(at.stored(event));
        at.says(event_text(event), ack);
        CHECK(at.stored(event));
    }
    REQUIRE(at.printer.numbers.size() == 1);
    CHECK_THAT(at.printer.heard_by_then, Catch::Contains(" n=2 rec="));
    run_until(at.loop, [&] { return at.hears("show=keep "); });
}

TEST_CASE("An event that the store cannot keep is not acknowledged, and is when it comes again with room") {
    Running at;
    at.start_and_greet();
    at.store.limit_size(1);
    std::uint32_t number = 1;
    while (at.told("trouble").empty()) {
        at.plug.forget();
        at.says(event_text(reading(number, {right_lens(-125)})), {});
        if (at.told("trouble").empty()) ++number;
        REQUIRE(number < 2000);
    }
    (void)at.loop.poll();
    CHECK_FALSE(at.hears("@ACK"));
    CHECK_FALSE(at.stored(reading(number, {right_lens(-125)})));
    at.store.limit_size(1LL << 40);
    at.says(event_text(reading(number, {right_lens(-125)})), "@ACK ");
    CHECK(at.stored(reading(number, {right_lens(-125)})));
}

TEST_CASE("An event that comes twice is acknowledged twice and counts once") {
    Running at;
    at.start_and_greet();
    const std::string line = event_text(reading(1, {right_lens(-125)}));
    at.says(line, "@ACK ");
    const std::int64_t last = at.store.last_sequence();
    at.plug.forget();
    at.says(line, "@ACK ");
    CHECK(at.store.last_sequence() == last);
    CHECK(at.told("reading").size() == 1);
}

TEST_CASE("A clash is not acknowledged, is kept apart, and is named once") {
    Running at;
    at.start_and_greet();
    at.says(event_text(reading(1, {right_lens(-125)})), "@ACK ");
    at.plug.forget();
    for (int time = 0; time < 2; ++time)
        at.says(event_text(reading(1, {right_lens(-225)})), {});
    (void)at.loop.poll();
    CHECK_FALSE(at.hears("@ACK"));
    CHECK_FALSE(at.store.quarantined().empty());
    REQUIRE(at.told("trouble").size() == 1);
    CHECK_THAT(at.told("trouble")[0], Catch::Contains("same name") && Catch::Contains("technician"));
}

TEST_CASE("Readings that went to another store are counted, and the next reading asks instead of pairing") {
    Running at;
    at.start();
    protocol::LineWriter line("HELLO");
    line.add_count("proto", 1)
        .add("fw", "0.1.0")
        .add("board", "bench")
        .add("id", adapter_id)
        .add_count("ep", 1);
    line.add_count("boot", 3).add("why", "power").add_count("wait", 0).add_count("next", 113);
    line.add("store", "FEDCBA9876543210").add_count("acked", 112).add("prof", "none");
    at.says(text_of(line), "@GREET ");
    at.says(ready(), {});
    run_until(at.loop, [&] { return !at.told("profile").empty(); });
    CHECK(at.told("said") == Words{"112 readings of this adapter went to another store"});
}

TEST_CASE("An adapter that was started again in the middle of a pair does not join its readings") {
    Running at;
    at.start_and_greet();
    at.says(event_text(reading(1, {right_lens(-125)})), "@ACK ");
    at.says(hello(adapter_id, 4, at.store.id().c_str()), "@GREET ");
    at.says(ready(), {});
    at.plug.forget();
    at.says(event_text(reading(2, {left_lens(-150)})), "@ACK ");
    CHECK(at.printer.numbers.empty());
    CHECK_FALSE(at.told("said").empty());
}

TEST_CASE("A half pair asks when its time is over, by the timers alone") {
    Running at;
    at.setup.config.half_pair_after = 2min;
    at.start_and_greet();
    at.says(event_text(reading(1, {right_lens(-125)})), "@ACK ");
    at.timers.advance(at.timers.now() + 119s);
    CHECK(at.told("said").empty());
    at.timers.advance(at.timers.now() + 1s);
    CHECK(at.told("said").size() == 1);
}

TEST_CASE("A half pair whose time-out cannot be stored is asked about when there is room again") {
    Running at;
    at.setup.config.half_pair_after = 1min;
    at.start_and_greet();
    at.says(event_text(reading(1, {right_lens(-125)})), "@ACK ");
    at.store.limit_size(1);
    std::uint32_t number = 1;
    while (at.told("trouble").empty()) {  // to the last free page
        at.says(event_text(reading(++number, {right_lens(-125)})), {});
        REQUIRE(number < 2000);
    }
    const std::size_t said = at.told("said").size();
    at.timers.advance(at.timers.now() + 2min);
    CHECK(at.told("said").size() == said);
    at.store.limit_size(1LL << 40);
    at.timers.advance(at.timers.now() + 10s);
    REQUIRE(at.told("said").size() == said + 1);
    CHECK_THAT(at.told("said").back(), Catch::Contains("Go on with this pair?"));
    at.timers.advance(at.timers.now() + 10min);
    CHECK(at.told("said").size() == said + 1);
}

TEST_CASE("Three refused captures in a row make the profile suspect, and a reading between them does not") {
    Running at;
    at.setup.profile_name = "ours.json";
    at.start_and_greet();
    protocol::LineWriter refusal("REFUSED");
    refusal.add("why", "not_understood")
        .add_count("at", 3)
        .add_count("len", 30)
        .add_hex("crc", 7U)
        .add("hex", "00");
    const std::string refused = text_of(refusal);
    at.says(refused, {});
    at.says(refused, {});
    at.says(event_text(reading(1, {right_lens(-125)})), "@ACK ");
    at.says(refused, {});
    at.says(refused, {});
    run_until(at.loop, [&] { return at.told("refused").size() == 4; });
    CHECK(at.told("trouble").empty());
    at.says(refused, {});
    at.says(refused, {});
    run_until(at.loop, [&] { return at.told("refused").size() == 6; });
    REQUIRE(at.told("trouble").size() == 1);
    CHECK_THAT(at.told("trouble")[0], Catch::Contains("3 captures in a row") &&
                                          Catch::Contains("ours.json") && Catch::Contains("technician"));
}

TEST_CASE("Commands reach the daemon: an act is done and answered, nonsense is refused") {
    Running at;
    at.start_and_greet();
    CHECK_THAT(at.ask("nonsense"), Catch::Contains("error") && Catch::Contains("not JSON"));
    CHECK_THAT(at.ask(R"({"act":"dance","values":{},"text":""})"), Catch::Contains("body.act"));
    at.says(event_text(reading(1, {right_lens(-125), left_lens(-150)})), "@ACK ");
    REQUIRE(at.printer.numbers.size() == 1);
    CHECK_THAT(at.ask(R"({"act":"undo","values":{},"text":""})"),
               Catch::Contains("tear up label " + at.printer.numbers[0]));
    CHECK(at.store.label(at.printer.numbers[0])->is_void);
}

TEST_CASE("Foreign words from the adapter come to the terminal escaped") {
    CHECK(bench::escaped("plain words") == "plain words");
    CHECK(bench::escaped("\x1b[2J\r\n\\ü") == "\\x1B[2J\\x0D\\x0A\\x5C\\xC3\\xBC");
}
