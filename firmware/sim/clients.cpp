#include "firmware/sim/clients.hpp"

#include <fcntl.h>
#include <poll.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <stdexcept>
#include <vector>

namespace pairmark::sim {
namespace {
constexpr size_t longest_line = 256;
}

Clients::Clients(std::string path) : path_(std::move(path)) {
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    if (path_.size() >= sizeof address.sun_path)
        throw std::runtime_error("the socket's path is too long: " + path_);
    std::memcpy(address.sun_path, path_.c_str(), path_.size() + 1);
    if (std::filesystem::is_socket(path_)) std::filesystem::remove(path_);
    listener_ = socket(AF_UNIX, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0);
    const mode_t before = umask(0177);
    const int bound = bind(listener_, reinterpret_cast<const sockaddr*>(&address), sizeof address);
    const int wrong = errno;
    umask(before);
    if (listener_ < 0 || bound != 0 || listen(listener_, 8) != 0)
        throw std::runtime_error("cannot listen at " + path_ + ": " + std::strerror(wrong));
}

Clients::~Clients() {
    for (Client& client : clients_)
        close(client.descriptor);
    close(listener_);
    std::error_code ignored;
    std::filesystem::remove(path_, ignored);
}

void Clients::poll(int timeout_ms, int also) {
    std::vector<pollfd> waiting{{listener_, POLLIN, 0}, {also, POLLIN, 0}};
    for (const Client& client : clients_)
        waiting.push_back({client.descriptor, POLLIN, 0});
    if (::poll(waiting.data(), waiting.size(), timeout_ms) > 0) {
        size_t i = 2;
        for (Client& client : clients_)
            if (waiting[i++].revents != 0) read_from(client);
        if (waiting[0].revents != 0) accept_new();
    }
    for (auto client = clients_.begin(); client != clients_.end();) {
        if (!client->gone) {
            ++client;
            continue;
        }
        close(client->descriptor);
        if (on_gone) on_gone(*client);
        client = clients_.erase(client);
    }
}

void Clients::accept_new() {
    const int descriptor = accept4(listener_, nullptr, nullptr, SOCK_NONBLOCK | SOCK_CLOEXEC);
    if (descriptor >= 0) clients_.emplace_back().descriptor = descriptor;
}

void Clients::read_from(Client& client) {
    std::array<char, 1024> piece{};
    const ssize_t got = recv(client.descriptor, piece.data(), piece.size(), 0);
    if (got < 0 && (errno == EAGAIN || errno == EINTR)) return;
    if (got <= 0) return drop(client);
    client.unread.append(piece.data(), static_cast<size_t>(got));
    for (size_t end = 0; !client.gone && (end = client.unread.find('\n')) != std::string::npos;) {
        std::string text = client.unread.substr(0, end);
        client.unread.erase(0, end + 1);
        if (!text.empty() && text.back() == '\r') text.pop_back();
        std::string why;
        const auto line = read_client_line(text, why);
        if (line && on_line)
            on_line(client, *line);
        else if (!line)
            (void)std::fprintf(stderr, "simboard: a client's line is ignored: %s\n", why.c_str());
    }
    if (client.unread.size() > longest_line) drop(client);
}

void Clients::drop(Client& client) {
    client.gone = true;
}

void Clients::send(Client& client, std::string_view text) {
    const ssize_t sent = ::send(client.descriptor, text.data(), text.size(), MSG_NOSIGNAL);
    if (sent != static_cast<ssize_t>(text.size())) drop(client);
}

}  // namespace pairmark::sim
