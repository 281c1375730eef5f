#include "host/printing/whole_file.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <system_error>

namespace pairmark::printing {
namespace {

using record::PrintOutcome;

class File {
  public:
    explicit File(int fd) : fd_(fd) {}
    ~File() { close(); }
    File(const File&) = delete;
    File& operator=(const File&) = delete;

    bool is_open() const { return fd_ >= 0; }
    int fd() const { return fd_; }
    void close() {
        if (fd_ >= 0) ::close(fd_);
        fd_ = -1;
    }

  private:
    int fd_;
};

std::string because(int error) {
    return std::generic_category().message(error);
}

std::string next_step(int error) {
    switch (error) {
        case ENOENT:
        case ENOTDIR:
            return "make the folder, or name another in the configuration";
        case EACCES:
        case EPERM:
        case EROFS:
            return "let the program's user write there, or name another folder in the configuration";
        case ENOSPC:
        case EDQUOT:
        case EFBIG:
            return "make room on that disk";
        default:
            return "look after that disk";
    }
}

bool write_all(int fd, std::string_view rest) {
    while (!rest.empty()) {
        const ssize_t count = ::write(fd, rest.data(), rest.size());
        if (count < 0 && errno == EINTR) continue;
        if (count <= 0) return false;
        rest.remove_prefix(static_cast<std::size_t>(count));
    }
    return true;
}

// Whether the file holds exactly these bytes. A file that cannot be read does not.
bool holds(int fd, std::string_view document) {
    std::array<char, 4096> part{};
    for (;;) {
        const ssize_t count = ::read(fd, part.data(), part.size());
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) return false;
        if (count == 0) return document.empty();
        const std::string_view read(part.data(), static_cast<std::size_t>(count));
        if (!document.starts_with(read)) return false;
        document.remove_prefix(read.size());
    }
}

// Gives `from` the name `to`, unless something has it: then false with EEXIST.
bool name_without_replacing(int folder, const std::string& from, const std::string& to) {
    if (::renameat2(folder, from.c_str(), folder, to.c_str(), RENAME_NOREPLACE) == 0) return true;
    if (errno != EINVAL && errno != ENOSYS) return false;
    // Some network file systems cannot: a second name never replaces either.
    if (::linkat(folder, from.c_str(), folder, to.c_str(), 0) != 0) return false;
    (void)::unlinkat(folder, from.c_str(), 0);
    return true;
}

class Writer {
  public:
    Writer(const std::string& path, int folder, const std::string& file, std::string_view document,
           const Naming& naming)
        : path_(path), folder_(folder), file_(file), document_(document), naming_(naming) {}

    Result write() {
        const std::string part = '.' + file_ + std::string(part_ending);
        (void)::unlinkat(folder_, part.c_str(), 0);
        const File file(
            ::openat(folder_, part.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0600));
        if (!file.is_open()) return failed(errno);
        if (!write_all(file.fd(), document_) || ::fsync(file.fd()) != 0 ||
            !name_without_replacing(folder_, part, file_)) {
            const int error = errno;
            (void)::unlinkat(folder_, part.c_str(), 0);
            return error == EEXIST ? found() : failed(error);
        }
        return settled();
    }

    // Something has the document's name.
    Result found() {
        // O_NONBLOCK: a pipe under that name must not hang the caller.
        const File file(::openat(folder_, file_.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC));
        struct stat status {};
        const bool same = file.is_open() && ::fstat(file.fd(), &status) == 0 && S_ISREG(status.st_mode) &&
                          holds(file.fd(), document_);
        if (!same)
            return {PrintOutcome::held, naming_.what + " held: " + path_ + '/' + file_ +
                                            " is already there and is not this " + naming_.what +
                                            "; move it away, then " + naming_.again};
        if (::fsync(file.fd()) != 0) return in_doubt(errno);
        return settled();
    }

    bool exists() const {
        struct stat status {};
        return ::fstatat(folder_, file_.c_str(), &status, AT_SYMLINK_NOFOLLOW) == 0;
    }

  private:
    Result settled() {
        // A file's name is safe only when its folder is.
        if (::fsync(folder_) != 0) return in_doubt(errno);
        return {PrintOutcome::printed, ""};
    }
    Result failed(int error) const {
        return {PrintOutcome::failed, naming_.what + " not printed: " + path_ + '/' + file_ + ": " +
                                          because(error) + "; " + next_step(error)};
    }
    Result in_doubt(int error) const {
        return {PrintOutcome::in_doubt, naming_.what + " in doubt: the disk did not confirm " + path_ + '/' +
                                            file_ + ": " + because(error) +
                                            "; look whether the file is there and whole"};
    }

    const std::string& path_;
    int folder_;
    const std::string& file_;
    std::string_view document_;
    const Naming& naming_;
};

}  // namespace

Result write_whole_file(const std::string& folder_path, const std::string& file, std::string_view document,
                        const Naming& naming) {
    const File folder(::open(folder_path.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (!folder.is_open()) {
        const int error = errno;
        return {PrintOutcome::failed, naming.what + " not printed: folder " + folder_path + ": " +
                                          because(error) + "; " + next_step(error)};
    }
    Writer writer(folder_path, folder.fd(), file, document, naming);
    return writer.exists() ? writer.found() : writer.write();
}

}  // namespace pairmark::printing
