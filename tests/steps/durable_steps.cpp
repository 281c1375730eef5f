// The checking forms of these calls are inline functions that would stand in the way of ours.
#undef _FORTIFY_SOURCE
#include "tests/steps/durable_steps.hpp"

#include <fcntl.h>
#include <stdio.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/uio.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <climits>
#include <csignal>
#include <cstdarg>
#include <cstdlib>
#include <map>

namespace pairmark::steps {
namespace {

/// A change of a file's bytes that was not flushed.
struct Written {
    ino_t file;
    off_t offset;
    std::string before;  // the bytes that stood there
    off_t size;          // of the file
};

/// A change of a name whose folder was not flushed.
struct Named {
    std::string folder;
    std::string made;      // empty: none
    std::string gone;      // empty: none
    std::string gone_was;  // where its file is kept; empty: `made` has it
    std::string replaced;  // where the file is kept that `made` meant before; empty: none
};

struct State {
    bool armed = false;
    bool busy = false;  // a step's own calls are not steps
    std::string folder;
    std::string attic;
    Blow blow;
    std::uint64_t count = 0;
    bool failing = false;
    bool has_failed = false;
    std::vector<Written> written;
    std::vector<Named> named;
    std::map<ino_t, std::pair<int, std::string>> files;  // descriptors that stay open, and names when written
    std::vector<std::string> too_early;
    std::vector<std::string> history;
    int kept = 0;
};

State& state() {
    static State one;
    return one;
}

std::string parent(const std::string& path) {
    return path.substr(0, path.rfind('/'));
}

std::string path_of(int fd) {
    char name[64];
    (void)snprintf(name, sizeof name, "/proc/self/fd/%d", fd);
    char path[PATH_MAX];
    const ssize_t size = ::readlink(name, path, sizeof path);
    return size > 0 ? std::string(path, static_cast<std::size_t>(size)) : std::string();
}

std::string path_at(int folder, const char* name) {
    if (name == nullptr) return {};
    if (name[0] == '/') return name;
    if (folder != AT_FDCWD) return path_of(folder) + '/' + name;
    char here[PATH_MAX];
    return ::getcwd(here, sizeof here) != nullptr ? std::string(here) + '/' + name : std::string();
}

bool exists(const std::string& path) {
    struct stat status {};
    return ::lstat(path.c_str(), &status) == 0;
}

bool counts(const std::string& path) {
    const State& now = state();
    return now.armed && !now.busy && path.compare(0, now.folder.size(), now.folder) == 0 &&
           (path.size() == now.folder.size() || path[now.folder.size()] == '/');
}

/// SQLite makes the shared memory anew, and the lock is the process's.
bool need_not_last(const std::string& path) {
    return path.ends_with("-shm") || path.ends_with(".lock");
}

/// For whoever plays a blow again.
void tell_history() {
    if (std::getenv("PAIRMARK_STEPS") == nullptr) return;
    for (const std::string& one : state().history)
        (void)::dprintf(STDERR_FILENO, "%s\n", one.c_str());
    (void)::dprintf(STDERR_FILENO, "here the process ends\n");
}

[[noreturn]] void die() {
    tell_history();
    (void)::kill(::getpid(), SIGKILL);
    for (;;)
        ::pause();
}

// --- what a power cut takes ---

void undo_what_was_not_flushed() {
    State& now = state();
    for (auto one = now.written.rbegin(); one != now.written.rend(); ++one) {
        const int fd = now.files[one->file].first;
        if (!one->before.empty())
            (void)::syscall(SYS_pwrite64, fd, one->before.data(), one->before.size(), one->offset);
        (void)::syscall(SYS_ftruncate, fd, one->size);
    }
    for (auto one = now.named.rbegin(); one != now.named.rend(); ++one) {
        if (!one->gone.empty()) {
            const std::string& from = one->gone_was.empty() ? one->made : one->gone_was;
            (void)::syscall(SYS_rename, from.c_str(), one->gone.c_str());
        } else if (!one->made.empty()) {
            (void)::syscall(SYS_unlink, one->made.c_str());
        }
        if (!one->replaced.empty()) (void)::syscall(SYS_rename, one->replaced.c_str(), one->made.c_str());
    }
}

/// Keeps the file that has this name now, so that it can come back.
std::string keep(const std::string& path) {
    State& now = state();
    if (!exists(path)) return {};
    // Lives follow one another in one attic.
    const std::string kept = now.attic + '/' + std::to_string(::getpid()) + '.' + std::to_string(++now.kept);
    (void)::syscall(SYS_linkat, AT_FDCWD, path.c_str(), AT_FDCWD, kept.c_str(), 0);
    return kept;
}

/// Before `size` bytes at `offset` of the file change (size 0: its length does).
void note_written(int fd, const std::string& path, off_t offset, std::size_t size) {
    State& now = state();
    struct stat status {};
    if (::fstat(fd, &status) != 0 || !S_ISREG(status.st_mode)) return;
    auto& [own, name] = now.files[status.st_ino];
    name = path;
    if (own == 0) {
        // Never closed: closing any descriptor of a file gives up the process's locks on it.
        char link[64];
        (void)snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
        own = static_cast<int>(::syscall(SYS_openat, AT_FDCWD, link, O_RDWR | O_CLOEXEC));
    }
    Written written{status.st_ino, offset, {}, status.st_size};
    if (offset < status.st_size) {
        written.before.resize(std::min(size, static_cast<std::size_t>(status.st_size - offset)));
        const ssize_t got = ::pread(own, written.before.data(), written.before.size(), offset);
        written.before.resize(got > 0 ? static_cast<std::size_t>(got) : 0);
    }
    now.written.push_back(std::move(written));
}

void note_flushed(int fd, const std::string& path) {
    State& now = state();
    struct stat status {};
    if (::fstat(fd, &status) != 0) return;
    if (S_ISDIR(status.st_mode))
        std::erase_if(now.named, [&path](const Named& one) { return one.folder == path; });
    else
        std::erase_if(now.written, [&status](const Written& one) { return one.file == status.st_ino; });
}

bool is_flushed(const std::string& path) {
    struct stat status {};
    if (::lstat(path.c_str(), &status) != 0) return true;
    const State& now = state();
    return std::none_of(now.written.begin(), now.written.end(),
                        [&status](const Written& one) { return one.file == status.st_ino; });
}

// --- the blow ---

/// One call. `real` does it; `half` does the first half of a write.
template <typename Real, typename Half>
long step(const char* what, const std::string& path, std::size_t bytes, Real real, Half half) {
    State& now = state();
    now.busy = true;
    ++now.count;
    now.history.push_back(std::to_string(now.count) + " " + what + " " +
                          path.substr(std::min(path.size(), now.folder.size() + 1)) +
                          (bytes != 0 ? " " + std::to_string(bytes) : ""));
    const bool here = now.blow.at == now.count;
    if (here || now.failing) {
        switch (now.blow.kind) {
            case Blow::Kind::kill_before:
                die();
            case Blow::Kind::kill_after:
                (void)real();
                die();
            case Blow::Kind::kill_half:
                (void)half();
                die();
            case Blow::Kind::power_cut:
                undo_what_was_not_flushed();
                die();
            case Blow::Kind::fail_on:
                now.failing = true;
                [[fallthrough]];
            case Blow::Kind::fail:
                now.has_failed = true;
                now.busy = false;
                errno = now.blow.error;
                return -1;
        }
    }
    const long result = real();
    const int error = errno;
    now.busy = false;
    errno = error;
    return result;
}

template <typename Real>
long step(const char* what, const std::string& path, Real real) {
    return step(what, path, 0, real, real);
}

long write_step(const char* what, int fd, const std::string& path, off_t offset, std::size_t size,
                long (*call)(int, const void*, std::size_t, off_t), const void* bytes) {
    const auto some = [=](std::size_t part) {
        note_written(fd, path, offset, part);
        return call(fd, bytes, part, offset);
    };
    return step(
        what, path, size, [=] { return some(size); }, [=] { return some(size / 2); });
}

long sys_write(int fd, const void* bytes, std::size_t size, off_t) {
    return ::syscall(SYS_write, fd, bytes, size);
}
long sys_pwrite(int fd, const void* bytes, std::size_t size, off_t offset) {
    return ::syscall(SYS_pwrite64, fd, bytes, size, offset);
}

off_t place_of(int fd) {
    struct stat status {};
    if ((::fcntl(fd, F_GETFL) & O_APPEND) != 0 && ::fstat(fd, &status) == 0) return status.st_size;
    return ::lseek(fd, 0, SEEK_CUR);
}

long do_write(int fd, const void* bytes, std::size_t size) {
    if (const std::string path = path_of(fd); counts(path))
        return write_step("write", fd, path, place_of(fd), size, sys_write, bytes);
    return sys_write(fd, bytes, size, 0);
}

long do_pwrite(int fd, const void* bytes, std::size_t size, off_t offset) {
    if (const std::string path = path_of(fd); counts(path))
        return write_step("pwrite", fd, path, offset, size, sys_pwrite, bytes);
    return sys_pwrite(fd, bytes, size, offset);
}

long do_flush(const char* what, int fd, long number) {
    const std::string path = path_of(fd);
    if (!counts(path)) return ::syscall(number, fd);
    return step(what, path, [=] {
        note_flushed(fd, path);
        return 0L;
    });
}

long do_truncate(int fd, off_t size) {
    const std::string path = path_of(fd);
    const auto real = [=] { return ::syscall(SYS_ftruncate, fd, size); };
    if (!counts(path)) return real();
    return step("ftruncate", path, [=] {
        note_written(fd, path, size, SIZE_MAX / 2);
        return real();
    });
}

long do_open(int folder, const char* name, int flags, mode_t mode) {
    const auto real = [=] { return ::syscall(SYS_openat, folder, name, flags, mode); };
    if ((flags & O_CREAT) == 0 || !state().armed) return real();
    const std::string path = path_at(folder, name);
    if (!counts(path) || exists(path)) return real();
    return step("create", path, [&] {
        const long fd = real();
        if (fd >= 0) state().named.push_back({parent(path), path, {}, {}, {}});
        return fd;
    });
}

long do_rename(int from_folder, const char* from, int to_folder, const char* to, unsigned flags) {
    const auto real = [=] { return ::syscall(SYS_renameat2, from_folder, from, to_folder, to, flags); };
    if (!state().armed) return real();
    const std::string old_path = path_at(from_folder, from);
    const std::string new_path = path_at(to_folder, to);
    if (!counts(new_path)) return real();
    return step("rename", new_path, [&] {
        const bool flushed = is_flushed(old_path);
        const std::string replaced = keep(new_path);
        const long result = real();
        const int error = errno;
        if (result == 0) {
            if (!flushed) state().too_early.push_back(new_path);
            state().named.push_back({parent(new_path), new_path, old_path, {}, replaced});
        }
        errno = error;
        return result;
    });
}

long do_link(int from_folder, const char* from, int to_folder, const char* to, int flags) {
    const auto real = [=] { return ::syscall(SYS_linkat, from_folder, from, to_folder, to, flags); };
    if (!state().armed) return real();
    const std::string path = path_at(to_folder, to);
    if (!counts(path)) return real();
    return step("link", path, [&] {
        const bool flushed = is_flushed(path_at(from_folder, from));
        const long result = real();
        const int error = errno;
        if (result == 0) {
            if (!flushed) state().too_early.push_back(path);
            state().named.push_back({parent(path), path, {}, {}, {}});
        }
        errno = error;
        return result;
    });
}

long do_unlink(int folder, const char* name, int flags) {
    const auto real = [=] { return ::syscall(SYS_unlinkat, folder, name, flags); };
    if (!state().armed) return real();
    const std::string path = path_at(folder, name);
    // What is not there makes no step: nothing changes.
    if (!counts(path) || !exists(path)) return real();
    return step("unlink", path, [&] {
        const std::string kept = keep(path);
        const long result = real();
        const int error = errno;
        if (result == 0) state().named.push_back({parent(path), {}, path, kept, {}});
        errno = error;
        return result;
    });
}

constexpr std::pair<Blow::Kind, char> letters[] = {{Blow::Kind::kill_before, 'b'},
                                                   {Blow::Kind::kill_after, 'a'},
                                                   {Blow::Kind::kill_half, 'h'},
                                                   {Blow::Kind::power_cut, 'p'}};
constexpr std::pair<int, const char*> errors[] = {{ENOSPC, "ENOSPC"}, {EIO, "EIO"}};

}  // namespace

std::string id_of(const Blow& blow) {
    const std::string number = std::to_string(blow.at);
    for (const auto& [kind, letter] : letters)
        if (kind == blow.kind) return number + letter;
    for (const auto& [error, name] : errors)
        if (error == blow.error) return number + '.' + name + (blow.kind == Blow::Kind::fail_on ? "+" : "");
    return number + ".?";
}

std::optional<Blow> blow_of(const std::string& id) {
    const std::size_t digits = id.find_first_not_of("0123456789");
    if (digits == 0 || digits == std::string::npos || digits > 9) return std::nullopt;
    Blow blow;
    blow.at = std::stoull(id.substr(0, digits));
    const std::string rest = id.substr(digits);
    for (const auto& [kind, letter] : letters) {
        blow.kind = kind;
        if (rest == std::string(1, letter)) return blow;
    }
    for (const auto& [error, name] : errors) {
        blow.error = error;
        blow.kind = Blow::Kind::fail;
        if (rest == std::string(".") + name) return blow;
        blow.kind = Blow::Kind::fail_on;
        if (rest == std::string(".") + name + "+") return blow;
    }
    return std::nullopt;
}

void arm(const std::string& folder, const std::string& attic, const Blow& blow) {
    State& now = state();
    now = State();
    now.folder = folder;
    now.attic = attic;
    now.blow = blow;
    now.armed = true;
}

void relieve() {
    state().failing = false;
}

std::uint64_t count() {
    return state().count;
}

bool has_failed() {
    return state().has_failed;
}

std::vector<std::string> not_flushed() {
    State& now = state();
    std::vector<std::string> all;
    for (const Written& one : now.written)
        if (const std::string& path = now.files[one.file].second; !need_not_last(path)) all.push_back(path);
    for (const Named& one : now.named)
        if (!need_not_last(one.made.empty() ? one.gone : one.made)) all.push_back(one.folder);
    std::sort(all.begin(), all.end());
    all.erase(std::unique(all.begin(), all.end()), all.end());
    return all;
}

const std::vector<std::string>& named_too_early() {
    return state().too_early;
}

const std::vector<std::string>& history() {
    return state().history;
}

}  // namespace pairmark::steps

// The calls themselves, in every form in which a library may ask for them.
using namespace pairmark::steps;

extern "C" {

ssize_t write(int fd, const void* bytes, size_t size) {
    return do_write(fd, bytes, size);
}
ssize_t pwrite(int fd, const void* bytes, size_t size, off_t offset) {
    return do_pwrite(fd, bytes, size, offset);
}
ssize_t pwrite64(int fd, const void* bytes, size_t size, off64_t offset) {
    return do_pwrite(fd, bytes, size, offset);
}
ssize_t writev(int fd, const struct iovec* pieces, int count) {
    // One after another: that a part of them arrives is allowed.
    ssize_t all = 0;
    for (int i = 0; i < count; ++i) {
        const long wrote = do_write(fd, pieces[i].iov_base, pieces[i].iov_len);
        if (wrote < 0) return all > 0 ? all : -1;
        all += wrote;
        if (static_cast<std::size_t>(wrote) < pieces[i].iov_len) break;
    }
    return all;
}
int fsync(int fd) {
    return static_cast<int>(do_flush("fsync", fd, SYS_fsync));
}
int fdatasync(int fd) {
    return static_cast<int>(do_flush("fdatasync", fd, SYS_fdatasync));
}
int ftruncate(int fd, off_t size) noexcept {
    return static_cast<int>(do_truncate(fd, size));
}
int ftruncate64(int fd, off64_t size) noexcept {
    return static_cast<int>(do_truncate(fd, size));
}

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
    return static_cast<int>(do_open(AT_FDCWD, name, flags, mode));
}
int open64(const char* name, int flags, ...) {
    PAIRMARK_MODE_OF(flags)
    return static_cast<int>(do_open(AT_FDCWD, name, flags, mode));
}
int openat(int folder, const char* name, int flags, ...) {
    PAIRMARK_MODE_OF(flags)
    return static_cast<int>(do_open(folder, name, flags, mode));
}
int openat64(int folder, const char* name, int flags, ...) {
    PAIRMARK_MODE_OF(flags)
    return static_cast<int>(do_open(folder, name, flags, mode));
}
int rename(const char* from, const char* to) noexcept {
    return static_cast<int>(do_rename(AT_FDCWD, from, AT_FDCWD, to, 0));
}
int renameat(int from_folder, const char* from, int to_folder, const char* to) noexcept {
    return static_cast<int>(do_rename(from_folder, from, to_folder, to, 0));
}
int renameat2(int from_folder, const char* from, int to_folder, const char* to, unsigned flags) noexcept {
    return static_cast<int>(do_rename(from_folder, from, to_folder, to, flags));
}
int link(const char* from, const char* to) noexcept {
    return static_cast<int>(do_link(AT_FDCWD, from, AT_FDCWD, to, 0));
}
int linkat(int from_folder, const char* from, int to_folder, const char* to, int flags) noexcept {
    return static_cast<int>(do_link(from_folder, from, to_folder, to, flags));
}
int unlink(const char* name) noexcept {
    return static_cast<int>(do_unlink(AT_FDCWD, name, 0));
}
int unlinkat(int folder, const char* name, int flags) noexcept {
    return static_cast<int>(do_unlink(folder, name, flags));
}

}  // extern "C"
