#include "host/bench/board_time.hpp"

#include <algorithm>
#include <boost/asio/io_context.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/read_until.hpp>
#include <boost/asio/streambuf.hpp>
#include <boost/asio/write.hpp>
#include <charconv>
#include <istream>
#include <optional>
#include <stdexcept>
#include <string_view>

namespace pairmark::bench {
namespace {

namespace asio = boost::asio;

std::uint64_t number_after(std::string_view line, std::string_view key) {
    const std::size_t at = line.find(key);
    std::uint64_t value = 0;
    if (at == std::string_view::npos) return value;
    const std::string_view digits = line.substr(at + key.size());
    (void)std::from_chars(digits.data(), digits.data() + digits.size(), value);
    return value;
}

}  // namespace

struct BoardTime::State {
    State(asio::io_context& io, SteppedTimers& t, std::function<StreamProgress()> p)
        : loop(io), socket(io), timers(t), progress(std::move(p)) {}

    void listen() {
        asio::async_read_until(socket, buffer, '\n', [this](boost::system::error_code error, std::size_t) {
            if (error) {
                gone = true;
                return;
            }
            std::string line;
            std::istream in(&buffer);
            std::getline(in, line);
            if (line.starts_with("tick ")) {
                const std::uint64_t now_us = number_after(line, " t=");
                // The daemon's time begins when it joins, which may be long after the board's.
                if (!began_us) began_us = now_us - now_us % 1000;
                timers.advance(std::chrono::duration_cast<Milliseconds>(
                    std::chrono::microseconds(now_us - std::min(now_us, *began_us))));
                expected = number_after(line, " host=");
                // What the board had sent before was for a daemon that ran before this one.
                if (!sent_before) sent_before = expected - std::min(expected, progress().read);
                owes_answer = true;
            }
            listen();
        });
    }

    void answer_if_idle() {
        const StreamProgress at = progress();
        if (!owes_answer || !at.settled || (at.open && at.read + *sent_before < expected)) return;
        owes_answer = false;
        const std::optional<Milliseconds> due = timers.next_due();
        const std::string wake =
            due ? std::to_string(*began_us + static_cast<std::uint64_t>(due->count()) * 1000) : "never";
        const std::string line = "idle wrote=" + std::to_string(at.written) + " wake=" + wake + "\n";
        boost::system::error_code error;
        (void)asio::write(socket, asio::buffer(line), error);
        if (error) gone = true;
    }

    asio::io_context& loop;
    asio::local::stream_protocol::socket socket;
    SteppedTimers& timers;
    std::function<StreamProgress()> progress;
    asio::streambuf buffer;
    std::uint64_t expected = 0;
    std::optional<std::uint64_t> sent_before;
    std::optional<std::uint64_t> began_us;
    bool owes_answer = false;
    bool gone = false;
};

BoardTime::BoardTime(asio::io_context& loop, const std::string& path, SteppedTimers& timers,
                     std::function<StreamProgress()> progress)
    : state_(std::make_unique<State>(loop, timers, std::move(progress))) {
    boost::system::error_code error;
    state_->socket.connect(asio::local::stream_protocol::endpoint(path), error);
    if (error)
        throw std::runtime_error("no simulated board answers at " + path + " (" + error.message() +
                                 "); start it first, or leave --board-time away");
    (void)asio::write(state_->socket, asio::buffer(std::string("join host timed\n")));
    state_->listen();
}

BoardTime::~BoardTime() = default;

void BoardTime::run() {
    while (!state_->gone && !state_->loop.stopped()) {
        if (state_->loop.run_one() == 0) return;
        // Only when no handler is ready has everything been done that the bytes so far call for.
        while (state_->loop.poll_one() > 0) {
        }
        state_->answer_if_idle();
    }
}

}  // namespace pairmark::bench
