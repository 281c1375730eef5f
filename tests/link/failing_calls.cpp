// The checking forms of these calls are inline functions that would stand in the way of ours.
#undef _FORTIFY_SOURCE
#include "tests/link/failing_calls.hpp"

#include <dlfcn.h>
#include <fcntl.h>
#include <sys/epoll.h>
#include <sys/file.h>
#include <sys/ioctl.h>
#include <sys/syscall.h>
#include <sys/uio.h>
#include <termios.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdarg>
#include <utility>

namespace pairmark::tests {
namespace {

struct State {
    bool armed = false;
    std::string port;
    Failure failure;
    int descriptor = -1;  // of the port, while it is open
    Calls calls;
};

State& state() {
    static State one;
    return one;
}

bool counts(int fd) {
    return state().armed && fd >= 0 && fd == state().descriptor;
}

/// Counts a call; true: it is to fail, and errno says why.
bool fails(const char* name, bool can_be_interrupted = true) {
    State& now = state();
    const auto before = std::count(now.calls.made.begin(), now.calls.made.end(), name);
    now.calls.made.emplace_back(name);
    if (now.failure.call != name || static_cast<std::size_t>(before) != now.failure.at) return false;
    if (now.failure.error == EINTR && !can_be_interrupted) return false;
    now.calls.failed = true;
    errno = now.failure.error;
    return true;
}

/// The library's own: what these ask of the kernel has another form than what they are asked.
template <typename Call>
Call* library(const char* name) {
    return reinterpret_cast<Call*>(::dlsym(RTLD_NEXT, name));
}

int do_open(int folder, const char* name, int flags, mode_t mode) {
    State& now = state();
    const bool port = now.armed && name == now.port;
    if (port && fails("open")) return -1;
    const int fd = static_cast<int>(::syscall(SYS_openat, folder, name, flags, mode));
    if (port) now.descriptor = fd;
    return fd;
}

const char* name_of_waiting(int operation) {
    switch (operation) {
        case EPOLL_CTL_ADD:
            return "epoll_ctl add";
        case EPOLL_CTL_DEL:
            return "epoll_ctl remove";
        default:
            return "epoll_ctl change";
    }
}

const char* name_of(unsigned long request) {
    switch (request) {
        case TIOCEXCL:
            return "ioctl TIOCEXCL";
        case TIOCNXCL:
            return "ioctl TIOCNXCL";
        case FIONBIO:
            return "ioctl FIONBIO";
        default:
            return "ioctl";
    }
}

}  // namespace

void arm(const std::string& port, const Failure& failure) {
    state() = State{true, port, failure, -1, {}};
}

Calls disarm() {
    return std::exchange(state(), State()).calls;
}

}  // namespace pairmark::tests

using namespace pairmark::tests;

extern "C" {

#define PAIRMARK_MODE_OF(flags)                               \
    mode_t mode = 0;                                          \
    if (((flags)&O_CREAT) != 0 || ((flags)&O_TMPFILE) != 0) { \
        va_list more;                                         \
        va_start(more, flags);                                \
        mode = va_arg(more, mode_t);                          \
        va_end(more);                                         \
    }

int open(const char* name, int flags, ...) {
    PAIRMARK_MODE_OF(flags)
    return do_open(AT_FDCWD, name, flags, mode);
}
int open64(const char* name, int flags, ...) {
    PAIRMARK_MODE_OF(flags)
    return do_open(AT_FDCWD, name, flags, mode);
}
int openat(int folder, const char* name, int flags, ...) {
    PAIRMARK_MODE_OF(flags)
    return do_open(folder, name, flags, mode);
}
int openat64(int folder, const char* name, int flags, ...) {
    PAIRMARK_MODE_OF(flags)
    return do_open(folder, name, flags, mode);
}
int close(int fd) {
    const bool port = counts(fd);
    const bool failing = port && fails("close");
    if (port) state().descriptor = -1;
    // As in Linux: the descriptor is gone, whatever is answered.
    const int error = errno;
    const int result = static_cast<int>(::syscall(SYS_close, fd));
    if (!failing) return result;
    errno = error;
    return -1;
}
ssize_t read(int fd, void* bytes, size_t size) {
    if (counts(fd) && fails("read")) return -1;
    return ::syscall(SYS_read, fd, bytes, size);
}
ssize_t readv(int fd, const struct iovec* pieces, int count) {
    if (counts(fd) && fails("read")) return -1;
    return ::syscall(SYS_readv, fd, pieces, count);
}
ssize_t write(int fd, const void* bytes, size_t size) {
    if (counts(fd) && fails("write")) return -1;
    return ::syscall(SYS_write, fd, bytes, size);
}
ssize_t writev(int fd, const struct iovec* pieces, int count) {
    if (counts(fd) && fails("write")) return -1;
    return ::syscall(SYS_writev, fd, pieces, count);
}
int ioctl(int fd, unsigned long request, ...) noexcept {
    va_list more;
    va_start(more, request);
    void* argument = va_arg(more, void*);
    va_end(more);
    if (counts(fd) && fails(name_of(request), request != FIONBIO)) return -1;
    return static_cast<int>(::syscall(SYS_ioctl, fd, request, argument));
}
int flock(int fd, int operation) noexcept {
    if (counts(fd) && fails("flock")) return -1;
    return static_cast<int>(::syscall(SYS_flock, fd, operation));
}
int epoll_ctl(int set, int operation, int fd, struct epoll_event* event) noexcept {
    if (counts(fd) && fails(name_of_waiting(operation), false)) return -1;
    return static_cast<int>(::syscall(SYS_epoll_ctl, set, operation, fd, event));
}
int isatty(int fd) noexcept {
    if (counts(fd) && fails("isatty")) return 0;
    return library<int(int)>("isatty")(fd);
}
int tcgetattr(int fd, struct termios* settings) noexcept {
    if (counts(fd) && fails("tcgetattr")) return -1;
    return library<int(int, struct termios*)>("tcgetattr")(fd, settings);
}
int tcsetattr(int fd, int when, const struct termios* settings) noexcept {
    if (counts(fd) && fails("tcsetattr")) return -1;
    return library<int(int, int, const struct termios*)>("tcsetattr")(fd, when, settings);
}
int tcflush(int fd, int queue) noexcept {
    if (counts(fd) && fails("tcflush")) return -1;
    return library<int(int, int)>("tcflush")(fd, queue);
}

}  // extern "C"
