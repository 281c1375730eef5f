// The link to the adapter over a pseudo-terminal: found, greeted, lost, found again.
#include "host/bench/adapter_link.hpp"

#include <catch2/catch.hpp>

#include "host/link/computer_ports.hpp"
#include "tests/bench/lines.hpp"
#include "tests/bench/pty.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using namespace std::chrono_literals;
using record::LinkHealth;

namespace {

/// A link whose greeting is answered as the daemon does it.
struct Linked {
    Linked() {
        link.emplace(ports, timers, (folder / "port").string(),
                     bench::AdapterLink::Handlers{[this](const link::Heard& heard) {
                                                      if (std::holds_alternative<link::HelloHeard>(heard)) {
                                                          link->session()->greet("1234567890ABCDEF", 0, {});
                                                          link->flush();
                                                      }
                                                  },
                                                  [this](LinkHealth health, const std::string& say) {
                                                      healths.emplace_back(record::word(health));
                                                      says.push_back(say);
                                                  }});
    }
    void greet() {
        plug.say(hello());
        run_until(loop, [this] { return plug.heard().find("@GREET ") != std::string::npos; });
        plug.say(ready());
        run_until(loop, [this] { return link->health() == LinkHealth::healthy; });
    }

    FreshFolder folder;
    Plug plug{folder / "port"};
    boost::asio::io_context loop;
    link::ComputerPorts ports{loop};
    bench::SteppedTimers timers{std::chrono::system_clock::time_point()};
    std::vector<std::string> healths;
    std::vector<std::string> says;
    std::optional<bench::AdapterLink> link;
};

using Words = std::vector<std::string>;

/// Ports that somebody lists, in place of this computer's.
class ListedPorts final : public link::Ports {
  public:
    explicit ListedPorts(boost::asio::io_context& loop) : computer_(loop) {}
    std::vector<std::string> to_try() override { return paths; }
    link::Opened open(const std::string& path, link::Stream::Handlers handlers) override {
        return computer_.open(path, std::move(handlers));
    }
    Words paths;

  private:
    link::ComputerPorts computer_;
};

}  // namespace

TEST_CASE("An absent port is said once, with the next step, and tried again once a second") {
    Linked at;
    at.link->start();
    CHECK(at.healths == Words{"absent"});
    CHECK_THAT(at.says.at(0), Catch::Contains((at.folder / "port").string() + " is not there") &&
                                  Catch::Contains("plug the adapter in"));
    for (int second = 1; second <= 5; ++second) {
        CHECK(at.timers.next_due() == second * 1000ms);
        at.timers.advance(second * 1000ms);
    }
    CHECK(at.healths == Words{"absent"});
    at.plug.plug_in();
    at.timers.advance(5999ms);
    CHECK(at.healths == Words{"absent"});
    at.timers.advance(6000ms);
    CHECK(at.healths == Words{"absent", "opening"});
}

TEST_CASE("A greeting over the port makes the link healthy, and the session then lives by the timers") {
    Linked at;
    at.plug.plug_in();
    at.link->start();
    CHECK(at.link->health() != LinkHealth::healthy);
    at.greet();
    CHECK(at.healths == Words{"opening", "healthy"});
    CHECK(at.link->progress().open);
    CHECK(at.link->progress().read == hello().size() + ready().size());
    at.plug.forget();
    at.timers.advance(5s);
    run_until(at.loop, [&] { return at.plug.heard().find("@PING n=1 ") != std::string::npos; });
    CHECK(at.timers.next_due());
}

TEST_CASE("Nothing goes out before the adapter introduced itself, cues included") {
    Linked at;
    at.plug.plug_in();
    at.link->start();
    at.link->cue("keep");
    at.timers.advance(11s);
    (void)at.loop.poll();
    CHECK(at.plug.heard().empty());
    CHECK(at.link->progress().written == 0);
}

TEST_CASE("A cue goes out at once, and again until the adapter says that it shows") {
    Linked at;
    at.plug.plug_in();
    at.link->start();
    at.greet();
    at.plug.forget();
    at.link->cue("keep");
    run_until(at.loop, [&] { return at.plug.heard().find("@CUE n=1 show=keep ") != std::string::npos; });
    at.plug.forget();
    at.timers.advance(1s);
    run_until(at.loop, [&] { return at.plug.heard().find("@CUE n=1 show=keep ") != std::string::npos; });
    const std::uint64_t before = at.link->progress().read;
    at.plug.say(answer_text("CUED", "n", 1));
    run_until(at.loop, [&] { return at.link->progress().read > before; });
    at.plug.forget();
    at.timers.advance(4s);
    (void)at.loop.poll();
    CHECK(at.plug.heard().find("@CUE") == std::string::npos);
}

TEST_CASE("A healthy adapter that says nothing for 12 s is called silent, once, with the next step") {
    Linked at;
    at.plug.plug_in();
    at.link->start();
    at.greet();
    at.timers.advance(11'999ms);
    CHECK(at.link->health() == LinkHealth::healthy);
    at.timers.advance(60s);
    CHECK(at.healths == Words{"opening", "healthy", "silent"});
    CHECK_THAT(at.says.back(), Catch::Contains("power lamp") && Catch::Contains("cable"));
    at.greet();
    CHECK(at.healths.back() == "healthy");
}

TEST_CASE("A port that is open but never speaks is called silent too") {
    Linked at;
    at.plug.plug_in();
    at.link->start();
    at.timers.advance(60s);
    CHECK(at.healths == Words{"opening", "silent"});
}

TEST_CASE("A pulled plug is said once, and the next adapter in its place is greeted as the first was") {
    Linked at;
    at.plug.plug_in();
    at.link->start();
    at.greet();
    const std::uint64_t read = at.link->progress().read;
    at.plug.pull();
    run_until(at.loop, [&] { return at.link->health() == LinkHealth::absent; });
    CHECK(at.link->session() == nullptr);
    CHECK_FALSE(at.link->progress().open);
    CHECK(at.link->progress().read == read);
    REQUIRE(at.healths == Words{"opening", "healthy", "absent"});
    CHECK_THAT(at.says.back(), Catch::Contains("is gone") && Catch::Contains("plug it in again"));
    at.link->cue("keep");  // to nobody
    at.plug.plug_in();
    at.timers.advance(1s);
    CHECK(at.healths.back() == "opening");
    at.plug.forget();
    at.greet();
    CHECK(at.healths.back() == "healthy");
    CHECK(at.link->progress().read > read);
}

TEST_CASE("Devices that are no adapter are said once each, tried again, and make way for the adapter") {
    const FreshFolder folder;
    boost::asio::io_context loop;
    bench::SteppedTimers timers{std::chrono::system_clock::time_point()};
    Plug modem{folder / "modem"};
    Plug plug{folder / "adapter"};
    Plug radio{folder / "radio"};
    modem.plug_in();
    radio.plug_in();
    ListedPorts ports(loop);
    ports.paths = {(folder / "modem").string(), (folder / "radio").string()};
    Words says;
    std::optional<bench::AdapterLink> link;
    link.emplace(
        ports, timers, std::nullopt,
        bench::AdapterLink::Handlers{[&](const link::Heard& heard) {
                                         if (!std::holds_alternative<link::HelloHeard>(heard)) return;
                                         link->session()->greet("1234567890ABCDEF", 0, {});
                                         link->flush();
                                     },
                                     [&says](LinkHealth, const std::string& say) { says.push_back(say); }});
    link->start();
    timers.advance(10min);
    (void)loop.poll();
    REQUIRE(says.size() == 4);
    CHECK_THAT(says[0], Catch::Contains("modem is open"));
    CHECK_THAT(says[2], Catch::Contains("radio is open"));
    CHECK_THAT(says[3], Catch::Contains("radio does not speak"));
    CHECK_THAT(says[1], Catch::Contains("what is plugged in at") &&
                            Catch::Contains("modem does not speak as an adapter") &&
                            Catch::Contains("name its port in the configuration"));
    plug.plug_in();
    ports.paths.push_back((folder / "adapter").string());
    for (int second = 0; second < 60 && says.size() == 4; ++second)
        timers.advance(timers.now() + 1s);
    REQUIRE(says.size() == 5);
    CHECK_THAT(says[4], Catch::Contains("adapter is open"));
    plug.say(hello());
    run_until(loop, [&] { return plug.heard().find("@GREET ") != std::string::npos; });
    plug.say(ready());
    run_until(loop, [&] { return link->health() == LinkHealth::healthy; });
    link.reset();
}

TEST_CASE("An adapter whose daemon was started again has time to notice, before it is called silent") {
    Linked at;
    at.plug.plug_in();
    at.link->start();
    at.timers.advance(12s);  // so long it waits for its former host, then it introduces itself
    CHECK(at.healths == Words{"opening"});
    at.greet();
    CHECK(at.healths == Words{"opening", "healthy"});
}

TEST_CASE("A link that is destroyed leaves no task behind") {
    Linked at;
    at.link->start();
    CHECK(at.timers.next_due());
    at.link.reset();
    CHECK_FALSE(at.timers.next_due());
    Linked open;
    open.plug.plug_in();
    open.link->start();
    open.greet();
    CHECK(open.timers.next_due());
    open.link.reset();
    CHECK_FALSE(open.timers.next_due());
    (void)open.loop.poll();
}
