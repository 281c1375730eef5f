#include "demo/board_client.hpp"

#include <fcntl.h>
#include <poll.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <stdexcept>

namespace pairmark::demo {
namespace {

void write_all(int fd, const std::string& bytes) {
    std::size_t at = 0;
    while (at < bytes.size()) {
        const ssize_t n = write(fd, bytes.data() + at, bytes.size() - at);
        if (n < 0 && errno == EINTR) continue;
        if (n < 0) throw std::runtime_error("the simulated board is gone");
        at += static_cast<std::size_t>(n);
    }
}

std::string word_after(const std::string& line, const std::string& key) {
    const std::size_t at = line.find(" " + key + "=");
    if (at == std::string::npos) return {};
    const std::size_t from = at + key.size() + 2;
    return line.substr(from, line.find(' ', from) - from);
}

int connect_to(const std::string& path) {
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    if (path.size() >= sizeof address.sun_path)
        throw std::runtime_error("the socket's path is too long: " + path);
    std::memcpy(address.sun_path, path.c_str(), path.size() + 1);
    // The board needs a moment to load its image; there is nothing to wait on before its socket is there.
    for (int tries = 0; tries < 200; ++tries) {
        const int fd = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
        if (connect(fd, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0) return fd;
        (void)close(fd);
        (void)poll(nullptr, 0, 50);
    }
    throw std::runtime_error("the simulated board did not start within 10 s");
}

}  // namespace

BoardClient::BoardClient(const std::string& socket, const std::string& instrument_port, bool timed)
    : socket_(connect_to(socket)), instrument_(open(instrument_port.c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC)) {
    if (instrument_ < 0) throw std::runtime_error("cannot open the instrument's line " + instrument_port);
    send(timed ? "join instrument timed" : "join instrument");
}

BoardClient::~BoardClient() {
    if (socket_ >= 0) (void)close(socket_);
    if (instrument_ >= 0) (void)close(instrument_);
}

std::vector<Tick> BoardClient::ticks() {
    std::array<char, 4096> buffer{};
    for (;;) {
        const ssize_t n = recv(socket_, buffer.data(), buffer.size(), MSG_DONTWAIT);
        if (n > 0) {
            partial_.append(buffer.data(), static_cast<std::size_t>(n));
            continue;
        }
        if (n < 0 && errno == EINTR) continue;
        if (n == 0) throw std::runtime_error("the simulated board ended");
        break;
    }
    std::vector<Tick> found;
    for (std::size_t end = partial_.find('\n'); end != std::string::npos; end = partial_.find('\n')) {
        const std::string line = partial_.substr(0, end);
        partial_.erase(0, end + 1);
        if (line.rfind("tick ", 0) != 0) continue;
        Tick tick;
        tick.us = std::strtoll(word_after(line, "t").c_str(), nullptr, 10);
        tick.lamps = word_after(line, "lamps");
        tick.running = word_after(line, "state") != "dead";
        found.push_back(std::move(tick));
    }
    return found;
}

void BoardClient::send(const std::string& line) {
    write_all(socket_, line + "\n");
}

void BoardClient::print(const std::string& bytes) {
    write_all(instrument_, bytes);
    printed_ += bytes.size();
}

void BoardClient::idle(std::int64_t wake_us) {
    send("idle wrote=" + std::to_string(printed_) +
         " wake=" + (wake_us < 0 ? "never" : std::to_string(wake_us)));
}

}  // namespace pairmark::demo
