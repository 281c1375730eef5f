// Every call on the serial port fails in turn: opening it, reading, writing, waiting, giving it up.
#include <fcntl.h>
#include <poll.h>
#include <pty.h>
#include <sys/file.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <unistd.h>

#include <algorithm>
#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <catch2/catch.hpp>
#include <cerrno>
#include <chrono>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <functional>
#include <optional>

#include "host/link/computer_ports.hpp"
#include "tests/link/failing_calls.hpp"

using namespace pairmark::link;
using namespace pairmark::tests;

namespace {

/// A pseudo-terminal whose port another program holds open too, without a lock of its own: so a mark or a
/// lock that the host leaves behind stays and can be seen.
struct SharedPty {
    SharedPty() {
        termios raw{};
        cfmakeraw(&raw);
        REQUIRE(openpty(&master, &other, name, &raw, nullptr) == 0);
        REQUIRE(fcntl(master, F_SETFL, O_NONBLOCK) == 0);
    }
    ~SharedPty() {
        (void)close(master);
        (void)close(other);
    }
    SharedPty(const SharedPty&) = delete;
    SharedPty& operator=(const SharedPty&) = delete;

    void say(const std::string& bytes) const {
        REQUIRE(write(master, bytes.data(), bytes.size()) == static_cast<ssize_t>(bytes.size()));
    }
    void hear() {
        char piece[4096];
        for (ssize_t n = read(master, piece, sizeof piece); n > 0; n = read(master, piece, sizeof piece))
            heard.append(piece, static_cast<std::size_t>(n));
    }
    bool is_marked() const {
        int marked = 0;
        REQUIRE(ioctl(other, TIOCGEXCL, &marked) == 0);
        return marked != 0;
    }
    bool is_locked() const {
        if (flock(other, LOCK_EX | LOCK_NB) != 0) return true;
        (void)flock(other, LOCK_UN);
        return false;
    }

    int master = -1;
    int other = -1;
    char name[128] = {};
    std::string heard;
};

std::ptrdiff_t open_descriptors() {
    return std::distance(std::filesystem::directory_iterator("/proc/self/fd"), {});
}

/// One life of the port: what it gave, and what became of it.
struct Life {
    explicit Life(boost::asio::io_context& l) : loop(l) {}

    void open(const std::string& port, bool closes_at_end) {
        auto opened = ComputerPorts(loop).open(port, {[this](std::span<const std::uint8_t> bytes) {
                                                          if (!ends.empty()) ++after_end;
                                                          got.append(bytes.begin(), bytes.end());
                                                      },
                                                      [this, closes_at_end](const std::string& why) {
                                                          ends.push_back(why);
                                                          if (closes_at_end) stream.reset();
                                                      }});
        CHECK((got.empty() && ends.empty()));  // no handler is called before `open` returns
        if (auto* one = std::get_if<std::unique_ptr<Stream>>(&opened))
            stream = std::move(*one);
        else
            fault = std::get<OpenFault>(opened);
    }
    bool ended() const { return !ends.empty(); }

    /// Whatever is ready happens; then the other end reads; until `done` or the stream's end.
    void run(SharedPty& pty, const std::function<bool()>& done) {
        const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(20);
        loop.restart();
        (void)loop.poll();
        while (!ended() && !done()) {
            REQUIRE(std::chrono::steady_clock::now() < until);
            pty.hear();
            loop.restart();
            (void)loop.run_one_for(std::chrono::milliseconds(1));
        }
    }

    boost::asio::io_context& loop;
    std::unique_ptr<Stream> stream;
    std::optional<OpenFault> fault;
    std::string got;
    std::vector<std::string> ends;
    int after_end = 0;
};

/// More than the system keeps for one who does not read, so that the stream must wait until it may write on.
const std::string& long_text() {
    static const std::string text = [] {
        std::string made;
        for (int i = 0; made.size() < 150'000; ++i)
            made += std::to_string(i) + '\n';
        return made;
    }();
    return text;
}

enum class Outcome { fault, end, survived };

Outcome expected_of(const Calls& calls, const Failure& failure) {
    // A signal that comes in between is nobody's fault.
    if (!calls.failed || failure.error == EINTR) return Outcome::survived;
    for (const char* opening : {"open", "isatty", "flock", "ioctl TIOCEXCL", "tcgetattr", "tcsetattr"})
        if (failure.call == opening) return Outcome::fault;
    // Old bytes are harmless, and who gives a port up can do no more than try.
    for (const char* harmless : {"tcflush", "ioctl TIOCNXCL", "epoll_ctl remove", "close"})
        if (failure.call == harmless) return Outcome::survived;
    return Outcome::end;
}

/// The words hang on the error alone, not on the call that met it.
std::string words_of(int error) {
    switch (error) {
        case ENXIO:
            return " is not there";
        case EACCES:
            return "no permission to open ";
        case EBUSY:
            return " is in use by another program";
        default:
            return std::string(": ") + std::strerror(error);
    }
}

/// Bytes pass both ways through the port, opened anew.
void check_port_works(boost::asio::io_context& loop, SharedPty& pty) {
    Life life(loop);
    life.open(pty.name, false);
    REQUIRE(life.stream != nullptr);
    pty.heard.clear();
    pty.say("new words");
    life.stream->write("new answer");
    // What was left from before may still come first.
    life.run(pty, [&] { return life.got.ends_with("new words") && pty.heard.ends_with("new answer"); });
    CHECK(life.ends.empty());
}

Calls try_one(const Failure& failure, bool closes_at_end) {
    boost::asio::io_context loop;
    { const boost::asio::posix::stream_descriptor makes_the_loops_own_descriptors(loop); }
    SharedPty pty;
    pty.say("old");
    pollfd old{pty.other, POLLIN, 0};
    REQUIRE(poll(&old, 1, 20'000) == 1);
    const std::ptrdiff_t descriptors = open_descriptors();

    arm(pty.name, failure);
    Life life(loop);
    life.open(pty.name, closes_at_end);
    if (life.stream) {
        pty.say("hello");
        life.stream->write(long_text());
        life.run(pty, [&] {
            return life.got.ends_with("hello") && life.stream->all_written() &&
                   pty.heard.size() == long_text().size();
        });
    }
    if (life.ended()) {
        if (life.stream) life.stream->write("to nobody");
        pty.say("from nobody");
        loop.restart();
        (void)loop.poll();
    }
    life.stream.reset();
    loop.restart();
    (void)loop.poll();
    const Calls calls = disarm();

    const Outcome expected = expected_of(calls, failure);
    const bool harmed = calls.failed && failure.error != EINTR;
    CHECK(life.fault.has_value() == (expected == Outcome::fault));
    if (life.fault) {
        CHECK(life.fault->what.find(pty.name) != std::string::npos);
        CHECK(life.fault->what.find(words_of(failure.error)) != std::string::npos);
        CHECK_FALSE(life.fault->next.empty());
    }
    CHECK(life.ends.size() == (expected == Outcome::end ? 1U : 0U));
    if (life.ended()) CHECK_FALSE(life.ends.front().empty());
    CHECK(life.after_end == 0);
    if (expected == Outcome::survived) {
        CHECK(pty.heard == long_text());
        CHECK(life.got == (harmed && failure.call == "tcflush" ? "oldhello" : "hello"));
    }

    CHECK(open_descriptors() == descriptors);
    CHECK_FALSE(pty.is_locked());
    // Where taking the mark away is itself what fails, it stays: that port is hung up, or broken.
    const bool mark_may_stay = harmed && failure.call == "ioctl TIOCNXCL";
    CHECK(pty.is_marked() == mark_may_stay);
    if (mark_may_stay) (void)ioctl(pty.other, TIOCNXCL);
    check_port_works(loop, pty);
    CHECK(open_descriptors() == descriptors);
    CHECK_FALSE(pty.is_marked());
    return calls;
}

}  // namespace

TEST_CASE("whichever call on the serial port fails, it is named or survived, and the port is free again") {
    const std::vector<std::string> calls = {
        "open",      "isatty",           "flock",          "ioctl TIOCEXCL", "tcgetattr",
        "tcsetattr", "tcflush",          "epoll_ctl add",  "ioctl FIONBIO",  "read",
        "write",     "epoll_ctl change", "ioctl TIOCNXCL", "close",          "epoll_ctl remove"};
    for (const std::string& made : try_one({}, false).made) {
        CAPTURE(made);
        // A call that is not in the list would never be made to fail.
        REQUIRE(std::count(calls.begin(), calls.end(), made) == 1);
    }
    const char* only = std::getenv("PAIRMARK_CALL");
    std::size_t played = 0;
    for (const std::string& call : calls) {
        // The system never interrupts these.
        const bool never_interrupted = call.starts_with("epoll_ctl") || call == "ioctl FIONBIO";
        for (const auto& [error, name] :
             {std::pair{EIO, "EIO"}, std::pair{ENXIO, "ENXIO"}, std::pair{EBUSY, "EBUSY"},
              std::pair{EACCES, "EACCES"}, std::pair{EINTR, "EINTR"}}) {
            if (error == EINTR && never_interrupted) continue;
            for (const bool closes_at_end : {false, true}) {
                std::size_t failed = 0;
                for (std::size_t at = 0;; ++at) {
                    const std::string id =
                        call + '.' + std::to_string(at) + '.' + name + (closes_at_end ? "+" : "");
                    INFO("play it again with PAIRMARK_CALL='" << id << "'");
                    if (only != nullptr && id != only) {
                        if (at >= 100) break;
                        continue;
                    }
                    if (!try_one({call, at, error}, closes_at_end).failed) break;
                    REQUIRE(at < 100);
                    ++failed;
                    ++played;
                }
                CAPTURE(call, name);
                if (only == nullptr) CHECK(failed >= (call == "read" || call == "write" ? 2U : 1U));
            }
        }
    }
    CHECK(played >= (only == nullptr ? 130U : 1U));
}
