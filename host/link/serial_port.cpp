#include "host/link/serial_port.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <termios.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

namespace pairmark::link {
namespace {

OpenFault taken(const std::string& path) {
    return {path + " is in use by another program",
            "close the other program (or the other Pairmark) that uses this port"};
}

/// A signal that comes in between is no fault of the port.
template <typename Call>
int uninterrupted(Call call) {
    int result = call();
    while (result < 0 && errno == EINTR)
        result = call();
    return result;
}

OpenFault not_opened(const std::string& path, int error) {
    switch (error) {
        case ENOENT:
        case ENXIO:
        case ENODEV:
            return {path + " is not there",
                    "plug the adapter in, or see `pairmark ports` for the ports of this computer"};
        case EACCES:
        case EPERM:
            return {"no permission to open " + path,
                    "add this user to the port's group (on Debian: dialout) and log in again"};
        case EBUSY:
        case EWOULDBLOCK:
            return taken(path);
        case ENOTTY:
            return {path + " is not a serial port", "name the adapter's port; see `pairmark ports`"};
        default:
            return {"cannot open " + path + ": " + std::strerror(error),
                    "unplug the adapter, wait a moment, plug it in again"};
    }
}

/// Raw bytes, both ways, no echo, no flow control, no hang-up on close.
bool make_raw(int fd) {
    termios settings{};
    if (uninterrupted([&] { return tcgetattr(fd, &settings); }) != 0) return false;
    cfmakeraw(&settings);
    settings.c_cflag |= CLOCAL | CREAD;
    settings.c_cflag &= ~static_cast<tcflag_t>(HUPCL | CRTSCTS);
    // VMIN 1: with 0 an empty read means end of file to the stream above.
    settings.c_cc[VMIN] = 1;
    settings.c_cc[VTIME] = 0;
    return cfsetspeed(&settings, B115200) == 0 &&
           uninterrupted([&] { return tcsetattr(fd, TCSANOW, &settings); }) == 0;
}

}  // namespace

std::variant<int, OpenFault> open_serial_port(const std::string& path) {
    const int fd =
        uninterrupted([&] { return ::open(path.c_str(), O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC); });
    if (fd < 0) return not_opened(path, errno);
    auto give_up = [fd](OpenFault fault) -> std::variant<int, OpenFault> {
        (void)::close(fd);
        return fault;
    };
    // A port that went away since answers EIO here, and is a serial port all the same.
    if (uninterrupted([fd] { return isatty(fd) != 0 ? 0 : -1; }) != 0)
        return give_up(not_opened(path, errno == EINVAL ? ENOTTY : errno));
    if (uninterrupted([fd] { return flock(fd, LOCK_EX | LOCK_NB); }) != 0)
        return give_up(not_opened(path, errno));
    if (uninterrupted([fd] { return ioctl(fd, TIOCEXCL); }) != 0) return give_up(not_opened(path, errno));
    if (!make_raw(fd)) {
        const int error = errno;
        unmark_serial_port(fd);
        return give_up(not_opened(path, error));
    }
    // What lies in the buffer was said to nobody: a greeting of before. The adapter says again whatever
    // matters.
    (void)uninterrupted([fd] { return tcflush(fd, TCIFLUSH); });
    return fd;
}

void unmark_serial_port(int descriptor) {
    (void)uninterrupted([descriptor] { return ioctl(descriptor, TIOCNXCL); });
}

}  // namespace pairmark::link
