#include "host/bench/control.hpp"

#include <sys/stat.h>

#include <boost/asio/io_context.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/read_until.hpp>
#include <boost/asio/streambuf.hpp>
#include <boost/asio/write.hpp>
#include <istream>
#include <stdexcept>
#include <system_error>

namespace pairmark::bench {

namespace asio = boost::asio;
using Socket = asio::local::stream_protocol::socket;
using namespace std::chrono_literals;

namespace {

constexpr std::size_t longest_request = 4096;
constexpr Milliseconds patience = 10s;
constexpr int most_clients = 8;
constexpr Milliseconds accept_again_after = 1s;
constexpr const char* too_long = "the request is longer than 4096 bytes; nothing was changed; say it shorter";

/// What the clients share. `timers` is null once the daemon is gone: a client in flight may live as long as
/// the loop, which outlives them.
struct Shared {
    int clients = 0;
    Timers* timers = nullptr;
};

/// One client, from its request to the answer's last byte. Keeps itself alive by the handlers in flight.
struct Client : std::enable_shared_from_this<Client> {
    Client(Socket s, std::shared_ptr<Shared> all) : socket(std::move(s)), shared(std::move(all)) {
        ++shared->clients;
    }
    ~Client() {
        if (shared->timers != nullptr) shared->timers->cancel(limit);
        --shared->clients;
    }
    Client(const Client&) = delete;
    Client& operator=(const Client&) = delete;

    void serve(const Control::Answer& answer) {
        limit = shared->timers->after(patience, [weak = weak_from_this()] {
            boost::system::error_code ignored;
            if (const auto self = weak.lock()) self->socket.close(ignored);
        });
        asio::async_read_until(
            socket, request, '\n',
            [self = shared_from_this(), answer](boost::system::error_code error, std::size_t) {
                if (self->shared->timers == nullptr) return;
                if (error == asio::error::not_found) {
                    // What it wrote beyond is not read: the client may not see this, but the bench is not
                    // kept.
                    self->reply = "{\"error\":\"" + std::string(too_long) + "\"}\n";
                } else if (error) {
                    return;
                } else {
                    std::string line;
                    std::istream in(&self->request);
                    std::getline(in, line);
                    self->reply = answer(line) + "\n";
                }
                asio::async_write(self->socket, asio::buffer(self->reply),
                                  [self](boost::system::error_code, std::size_t) {});
            });
    }

    Socket socket;
    std::shared_ptr<Shared> shared;
    TimerId limit = 0;
    asio::streambuf request{longest_request};
    std::string reply;
};

}  // namespace

struct Control::State : std::enable_shared_from_this<State> {
    State(asio::io_context& loop, Timers& t, std::filesystem::path p, Answer a)
        : acceptor(loop), path(std::move(p)), answer(std::move(a)) {
        shared->timers = &t;
    }

    void accept() {
        acceptor.async_accept([self = shared_from_this()](boost::system::error_code error, Socket socket) {
            if (error == asio::error::operation_aborted || self->shared->timers == nullptr) return;
            // Too few descriptors, most likely: that passes.
            if (error) return self->accept_later();
            if (self->shared->clients < most_clients)
                std::make_shared<Client>(std::move(socket), self->shared)->serve(self->answer);
            self->accept();
        });
    }

    void accept_later() {
        again = shared->timers->after(accept_again_after, [weak = weak_from_this()] {
            if (const auto self = weak.lock()) self->accept();
        });
    }

    asio::local::stream_protocol::acceptor acceptor;
    TimerId again = 0;
    std::filesystem::path path;
    Answer answer;
    std::shared_ptr<Shared> shared = std::make_shared<Shared>();
};

Control::Control(asio::io_context& loop, Timers& timers, std::filesystem::path path, Answer answer)
    : state_(std::make_shared<State>(loop, timers, std::move(path), std::move(answer))) {}

Control::~Control() {
    state_->shared->timers->cancel(state_->again);
    state_->shared->timers = nullptr;
    boost::system::error_code ignored;
    if (!state_->acceptor.is_open()) return;
    state_->acceptor.close(ignored);
    std::error_code not_there;
    std::filesystem::remove(state_->path, not_there);
}

std::string Control::open() {
    try {
        // The store's lock is held by this process, so a socket that is still there belongs to nobody alive.
        std::error_code ignored;
        std::filesystem::remove(state_->path, ignored);
        const asio::local::stream_protocol::endpoint endpoint(state_->path.string());
        state_->acceptor.open(endpoint.protocol());
        const mode_t before = umask(0177);
        boost::system::error_code error;
        state_->acceptor.bind(endpoint, error);
        (void)umask(before);
        if (error) throw boost::system::system_error(error);
        state_->acceptor.listen();
        state_->accept();
        return {};
    } catch (const boost::system::system_error& error) {
        boost::system::error_code ignored;
        state_->acceptor.close(ignored);
        return "commands cannot reach this daemon at " + state_->path.string() + " (" +
               error.code().message() + "); measuring goes on; use a shorter path for the database";
    }
}

std::filesystem::path control_path(const std::filesystem::path& database) {
    return database.string() + ".control";
}

std::string ask_daemon(const std::filesystem::path& path, const std::string& request) {
    if (request.size() >= longest_request) throw std::runtime_error(too_long);
    try {
        asio::io_context loop;
        Socket socket(loop);
        socket.connect(asio::local::stream_protocol::endpoint(path.string()));
        asio::write(socket, asio::buffer(request + "\n"));
        asio::streambuf reply;
        asio::read_until(socket, reply, '\n');
        std::string line;
        std::istream in(&reply);
        std::getline(in, line);
        return line;
    } catch (const boost::system::system_error& error) {
        throw std::runtime_error("no daemon answers at " + path.string() + " (" + error.code().message() +
                                 "); start it with `pairmark run`, with the same configuration");
    }
}

}  // namespace pairmark::bench
