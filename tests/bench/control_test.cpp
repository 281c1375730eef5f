// What other commands ask of the running daemon.
#include "host/bench/control.hpp"

#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>

#include <boost/asio/io_context.hpp>
#include <boost/asio/post.hpp>
#include <catch2/catch.hpp>
#include <thread>

#include "host/bench/request.hpp"
#include "tests/bench/pty.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using namespace std::chrono_literals;

namespace {

struct Listening {
    explicit Listening(const std::string& name = "bench.db.control") : path(folder / name) {
        control.emplace(loop, timers, path, [this](const std::string& request) {
            asked.push_back(request);
            return "answer " + std::to_string(asked.size());
        });
    }
    /// Does `work` beside the loop, as another process would, and serves until it is done.
    void serve(const std::function<void()>& work) {
        bool done = false;
        std::thread client([&] {
            work();
            boost::asio::post(loop, [&done] { done = true; });
        });
        run_until(loop, [&done] { return done; });
        client.join();
    }
    std::string ask(const std::string& request) {
        std::string answer;
        serve([&] {
            try {
                answer = bench::ask_daemon(path, request);
            } catch (const std::exception& error) {
                answer = std::string("fault: ") + error.what();
            }
        });
        return answer;
    }

    FreshFolder folder;
    std::filesystem::path path;
    boost::asio::io_context loop;
    bench::SteppedTimers timers{std::chrono::system_clock::time_point()};
    std::vector<std::string> asked;
    std::optional<bench::Control> control;
};

/// A client that knows no manners.
class RawClient {
  public:
    explicit RawClient(const std::filesystem::path& path) : socket_(::socket(AF_UNIX, SOCK_STREAM, 0)) {
        sockaddr_un address{};
        address.sun_family = AF_UNIX;
        path.string().copy(address.sun_path, sizeof address.sun_path - 1);
        connected_ = ::connect(socket_, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0;
    }
    ~RawClient() { hang_up(); }
    RawClient(const RawClient&) = delete;
    RawClient& operator=(const RawClient&) = delete;
    bool connected() const { return connected_; }
    void say(const std::string& bytes) const {
        (void)::send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL);
    }
    std::string heard() const {
        std::string bytes(512, '\0');
        const ssize_t n = ::recv(socket_, bytes.data(), bytes.size(), MSG_DONTWAIT);
        return bytes.substr(0, n > 0 ? static_cast<std::size_t>(n) : 0);
    }
    void hang_up() {
        if (socket_ >= 0) (void)::close(socket_);
        socket_ = -1;
    }
    bool was_dropped() const {
        char byte = 0;
        const ssize_t n = ::recv(socket_, &byte, 1, MSG_DONTWAIT);
        return n == 0 || (n < 0 && errno != EAGAIN);
    }

  private:
    int socket_;
    bool connected_ = false;
};

std::string refusal_of(const std::string& request) {
    try {
        (void)bench::act_from_request(request);
        return "taken";
    } catch (const record::BadRecord& bad) {
        return bad.what();
    }
}

}  // namespace

TEST_CASE("A request is answered, and so is the next") {
    Listening at;
    REQUIRE(at.control->open().empty());
    CHECK(at.ask("one") == "answer 1");
    CHECK(at.ask("two") == "answer 2");
    CHECK(at.asked == std::vector<std::string>{"one", "two"});
}

TEST_CASE("The socket is its user's alone, and goes with the daemon") {
    Listening at;
    REQUIRE(at.control->open().empty());
    struct stat about {};
    REQUIRE(::stat(at.path.c_str(), &about) == 0);
    CHECK(S_ISSOCK(about.st_mode));
    CHECK((about.st_mode & 0777U) == 0600U);
    at.control.reset();
    CHECK_FALSE(std::filesystem::exists(at.path));
}

TEST_CASE("What an ended daemon left in the socket's place is replaced") {
    Listening at;
    write_file(at.path, "left behind");
    REQUIRE(at.control->open().empty());
    CHECK(at.ask("one") == "answer 1");
}

TEST_CASE("Where no socket can be, the daemon goes on and says what to do") {
    Listening at(std::string(120, 'x'));
    CHECK_THAT(at.control->open(), Catch::Contains("measuring goes on") && Catch::Contains("shorter path"));
    Listening nowhere("no folder/bench.db.control");
    CHECK_THAT(nowhere.control->open(), Catch::Contains("measuring goes on"));
}

TEST_CASE("A request of 4096 bytes is taken, a longer one refused, and the next is answered as ever") {
    Listening at;
    REQUIRE(at.control->open().empty());
    CHECK(at.ask(std::string(4095, 'a')) == "answer 1");
    for (const std::size_t size : {std::size_t{4096}, std::size_t{1'000'000}})
        CHECK_THAT(at.ask(std::string(size, 'b')),
                   Catch::StartsWith("fault: the request is longer than 4096 bytes") &&
                       Catch::Contains("say it shorter"));
    CHECK(at.ask("after") == "answer 2");
    CHECK(at.asked.size() == 2);
}

TEST_CASE("A client that hangs up in the middle of its request harms nobody") {
    Listening at;
    REQUIRE(at.control->open().empty());
    {
        const RawClient half(at.path);
        half.say("half a requ");
        (void)at.loop.poll();
    }
    CHECK(at.ask("whole") == "answer 1");
    (void)at.loop.poll();
    CHECK_FALSE(at.timers.next_due());
}

TEST_CASE("A client that says nothing is dropped after 10 s") {
    Listening at;
    REQUIRE(at.control->open().empty());
    const RawClient mute(at.path);
    REQUIRE(mute.connected());
    (void)at.loop.poll();
    CHECK(at.timers.next_due() == 10s);
    at.timers.advance(9'999ms);
    (void)at.loop.poll();
    CHECK_FALSE(mute.was_dropped());
    at.timers.advance(10s);
    (void)at.loop.poll();
    CHECK(mute.was_dropped());
}

TEST_CASE("A client in flight when the daemon ends touches nothing of it any more") {
    boost::asio::io_context loop;
    const FreshFolder folder;
    auto timers = std::make_unique<bench::SteppedTimers>(std::chrono::system_clock::time_point());
    int asked = 0;
    auto control =
        std::make_unique<bench::Control>(loop, *timers, folder / "control", [&asked](const std::string&) {
            ++asked;
            return "answer";
        });
    REQUIRE(control->open().empty());
    const RawClient late(folder / "control");
    REQUIRE(late.connected());
    (void)loop.poll();
    control.reset();
    timers.reset();
    late.say("too late\n");
    (void)loop.poll();
    CHECK(asked == 0);
    CHECK(late.was_dropped());
}

TEST_CASE("Eight clients are served at once, and the ninth is dropped, and has its turn when one is gone") {
    Listening at;
    REQUIRE(at.control->open().empty());
    std::vector<std::unique_ptr<RawClient>> clients;
    for (int i = 0; i < 9; ++i) {
        clients.push_back(std::make_unique<RawClient>(at.path));
        REQUIRE(clients.back()->connected());
        (void)at.loop.poll();
    }
    for (int i = 0; i < 8; ++i)
        CHECK_FALSE(clients[static_cast<std::size_t>(i)]->was_dropped());
    CHECK(clients[8]->was_dropped());
    clients.erase(clients.begin());
    (void)at.loop.poll();
    CHECK(at.ask("mine") == "answer 1");
}

TEST_CASE("A client that says too much in another way hears the reason, and the bench goes on") {
    Listening at;
    REQUIRE(at.control->open().empty());
    const RawClient wordy(at.path);
    wordy.say(std::string(4096, 'w'));
    run_until(at.loop, [&] { return at.timers.next_due().has_value(); });
    (void)at.loop.poll();
    CHECK_THAT(wordy.heard(), Catch::Contains("longer than 4096 bytes"));
    CHECK(at.ask("after") == "answer 1");
}

#if !defined(__SANITIZE_ADDRESS__)  // the sanitizers need file descriptors themselves to look at an object
TEST_CASE("A client for whom there was no file descriptor is served when there is one again") {
    Listening at;
    REQUIRE(at.control->open().empty());
    const RawClient client(at.path);
    REQUIRE(client.connected());
    client.say("one\n");
    rlimit before{};
    REQUIRE(::getrlimit(RLIMIT_NOFILE, &before) == 0);
    const rlimit none{0, before.rlim_max};
    REQUIRE(::setrlimit(RLIMIT_NOFILE, &none) == 0);
    (void)at.loop.poll();
    REQUIRE(::setrlimit(RLIMIT_NOFILE, &before) == 0);
    REQUIRE(at.timers.next_due() == 1s);
    (void)at.loop.poll();
    CHECK(at.asked.empty());  // no busy trying
    at.timers.advance(1s);
    run_until(at.loop, [&] { return at.asked.size() == 1; });
    CHECK(at.asked[0] == "one");
    CHECK(at.ask("two") == "answer 2");
}
#endif

TEST_CASE("Without a daemon, a command says what to start") {
    const FreshFolder folder;
    CHECK_THROWS_WITH(bench::ask_daemon(folder / "none.control", "x"),
                      Catch::Contains("no daemon answers") && Catch::Contains("pairmark run"));
}

TEST_CASE("An act travels as a request and comes back as it was") {
    for (const record::Acted& act :
         {record::Acted{"mark", 7, {{"tint", "light"}, {"carrier", "box 3"}}, ""},
          record::Acted{"turn-down", {}, {}, "scratched ü"}, record::Acted{"answer", 1, {}, "same-lens"}}) {
        const record::Acted back = bench::act_from_request(bench::request_of(act));
        CHECK(back.act == act.act);
        CHECK(back.pair == act.pair);
        CHECK(back.values == act.values);
        CHECK(back.text == act.text);
        CHECK(bench::request_of(act).find('\n') == std::string::npos);
    }
}

TEST_CASE("A request that is no act is refused with the place of the mistake") {
    struct Row {
        std::string request;
        const char* says;
    };
    for (const Row& row : {
             Row{"", "not JSON"},
             Row{"undo", "not JSON"},
             Row{"\xff\xfe", "not JSON"},
             Row{std::string(4000, '['), "not JSON"},
             Row{"[]", "body: expected an object"},
             Row{R"({"act":"dance","values":{},"text":""})",
                 "body.act: expected a known act, found \"dance\""},
             Row{R"({"act":7,"values":{},"text":""})", "body.act: expected a text"},
             Row{R"({"values":{},"text":""})", "body.act: missing"},
             Row{R"({"act":"undo","text":""})", "body.values: missing"},
             Row{R"({"act":"undo","values":{}})", "body.text: missing"},
             Row{R"({"act":"undo","values":{},"text":"","pair":-1})", "body.pair"},
             Row{R"({"act":"undo","values":{},"text":"","pair":"1"})", "body.pair"},
             Row{R"({"act":"undo","values":{},"text":"","pear":1})", "no member \"pear\""},
             Row{R"({"act":"mark","values":{"tint":"drak"},"text":""})", "did you mean \"dark\"?"},
             Row{R"({"act":"mark","values":{"tint":1},"text":""})", "body.values"},
             Row{R"({"act":"mark","values":[],"text":""})", "body.values"},
         }) {
        CAPTURE(row.request.substr(0, 60));
        CHECK_THAT(refusal_of(row.request), Catch::Contains(row.says));
    }
}
