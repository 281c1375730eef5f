#include "firmware/sim/pty_port.hpp"

#include <fcntl.h>
#include <poll.h>
#include <pty.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <stdexcept>

namespace pairmark::sim {

PtyPort::PtyPort(std::string link) : link_(std::move(link)) {
    termios raw{};
    cfmakeraw(&raw);
    raw.c_cflag |= CREAD | CLOCAL;
    cfsetspeed(&raw, B115200);
    raw.c_cc[VMIN] = 1;
    std::array<char, 128> name{};
    if (openpty(&master_, &slave_, name.data(), &raw, nullptr) != 0)
        throw std::runtime_error(std::string("cannot make a pseudo-terminal: ") + std::strerror(errno));
    for (const int end : {master_, slave_})
        fcntl(end, F_SETFD, FD_CLOEXEC);
    fcntl(master_, F_SETFL, O_NONBLOCK);
    std::error_code wrong;
    if (std::filesystem::is_symlink(link_)) std::filesystem::remove(link_, wrong);
    std::filesystem::create_symlink(name.data(), link_, wrong);
    if (wrong) {
        close(master_);
        close(slave_);
        throw std::runtime_error("cannot make the link " + link_ + ": " + wrong.message());
    }
}

PtyPort::~PtyPort() {
    std::error_code ignored;
    std::filesystem::remove(link_, ignored);
    close(slave_);
    close(master_);
}

void PtyPort::send(std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t took = write(master_, bytes.data(), bytes.size());
        if (took < 0 && errno == EINTR) continue;
        if (took <= 0) return;
        sent_ += static_cast<uint64_t>(took);
        bytes.remove_prefix(static_cast<size_t>(took));
    }
}

std::vector<uint8_t> PtyPort::receive(size_t limit) {
    // A real port forgets with its last close that a program had it for itself; this one is open here all
    // along, and a program that was killed would lock out the next one.
    (void)ioctl(slave_, TIOCNXCL);
    std::vector<uint8_t> all;
    std::array<uint8_t, 4096> piece{};
    while (all.size() < limit) {
        const ssize_t got = read(master_, piece.data(), std::min(piece.size(), limit - all.size()));
        if (got < 0 && errno == EINTR) continue;
        if (got <= 0) break;
        all.insert(all.end(), piece.begin(), piece.begin() + got);
    }
    return all;
}

std::vector<uint8_t> PtyPort::receive_exactly(size_t count, int patience_ms) {
    std::vector<uint8_t> all;
    while (all.size() < count) {
        const auto piece = receive(count - all.size());
        all.insert(all.end(), piece.begin(), piece.end());
        if (all.size() == count) break;
        pollfd waiting{master_, POLLIN, 0};
        if (piece.empty() && poll(&waiting, 1, patience_ms) == 0) break;
    }
    return all;
}

}  // namespace pairmark::sim
