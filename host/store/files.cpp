#include "host/store/files.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <system_error>

#include "host/store/fault.hpp"

namespace pairmark::store {
namespace {

constexpr mode_t own_only = S_IRUSR | S_IWUSR;

[[noreturn]] void refuse(const std::filesystem::path& path, std::string what, std::string next) {
    throw StoreFault({std::move(what), path.string(), std::move(next)});
}

[[noreturn]] void refuse_for(int error, const std::filesystem::path& path) {
    if (error == ELOOP) refuse(path, "the store's file is a link", "name the file that it points to");
    if (error == EISDIR) refuse(path, "there is a folder in the place of the store's file", "name a file");
    refuse(path, "the store's file can't be opened: " + std::generic_category().message(error),
           "check that the folder exists and belongs to the user that runs this");
}

void sync_folder(const std::filesystem::path& path) {
    const Descriptor folder(::open(path.parent_path().c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (folder.get() < 0 || ::fsync(folder.get()) != 0) refuse_for(errno, path.parent_path());
}

/// Opens or makes a plain file of this user.
Descriptor open_own(const std::filesystem::path& path, struct stat& status) {
    Descriptor file(::open(path.c_str(), O_RDWR | O_CREAT | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC, own_only));
    if (file.get() < 0 || ::fstat(file.get(), &status) != 0) refuse_for(errno, path);
    if (!S_ISREG(status.st_mode)) refuse(path, "the store's file is not a plain file", "name a plain file");
    if (status.st_uid != ::geteuid()) {
        refuse(path, "the store belongs to another user",
               "run this as that user, or give the files to this one");
    }
    if ((status.st_mode & (S_IRWXG | S_IRWXO)) != 0 && ::fchmod(file.get(), own_only) != 0)
        refuse_for(errno, path);
    return file;
}

bool write_all(int fd, std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t n = ::write(fd, bytes.data(), bytes.size());
        if (n < 0 && errno != EINTR) return false;
        if (n > 0) bytes.remove_prefix(static_cast<std::size_t>(n));
    }
    return true;
}

}  // namespace

Descriptor::~Descriptor() {
    if (fd_ >= 0) ::close(fd_);
}

std::filesystem::path beside(const std::filesystem::path& path, std::string_view suffix) {
    std::filesystem::path out = path;
    out += suffix;
    return out;
}

std::filesystem::path with_real_folder(const std::filesystem::path& path) {
    std::error_code error;
    const auto folder = std::filesystem::canonical(std::filesystem::absolute(path).parent_path(), error);
    if (error || !path.has_filename()) {
        refuse(path, "there is no such folder for the store", "make the folder, or name another place");
    }
    return folder / path.filename();
}

void refuse_unless_plain(const std::filesystem::path& path) {
    struct stat status {};
    if (::lstat(path.c_str(), &status) != 0) {
        if (errno == ENOENT) return;
        refuse_for(errno, path);
    }
    if (S_ISLNK(status.st_mode)) refuse_for(ELOOP, path);
    if (S_ISDIR(status.st_mode)) refuse_for(EISDIR, path);
    if (!S_ISREG(status.st_mode)) refuse(path, "the store's file is not a plain file", "name a plain file");
}

Lock take_lock(const std::filesystem::path& file) {
    struct stat status {};
    Lock lock{open_own(file, status)};
    if (::flock(lock.file.get(), LOCK_EX | LOCK_NB) != 0) {
        std::array<char, 16> holder{};
        const ssize_t n = ::pread(lock.file.get(), holder.data(), holder.size(), 0);
        const std::string process(holder.data(), n > 0 ? static_cast<std::size_t>(n) : 0);
        const bool known = !process.empty() && process.find_first_not_of("0123456789") == std::string::npos;
        refuse(file, "the store is in use by another process" + (known ? ", number " + process : ""),
               "stop that one first; a store has one user at a time");
    }
    // Only to name the holder: a failure to write it changes nothing.
    if (::ftruncate(lock.file.get(), 0) == 0) write_all(lock.file.get(), std::to_string(::getpid()));
    return lock;
}

std::uint64_t own_file(const std::filesystem::path& path) {
    struct stat status {};
    const Descriptor file = open_own(path, status);
    if (status.st_size == 0) sync_folder(path);
    return status.st_ino;
}

void replace_file(const std::filesystem::path& path, std::string_view bytes) {
    const std::filesystem::path next = beside(path, ".new");
    if (::unlink(next.c_str()) != 0 && errno != ENOENT) refuse_for(errno, next);
    {
        const Descriptor file(
            ::open(next.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, own_only));
        if (file.get() < 0 || !write_all(file.get(), bytes) || ::fsync(file.get()) != 0)
            refuse_for(errno, next);
    }
    if (::rename(next.c_str(), path.c_str()) != 0) refuse_for(errno, path);
    sync_folder(path);
}

}  // namespace pairmark::store
