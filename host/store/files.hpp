// The files of a store: that they are the user's own plain files, that nobody else uses them, and durable
// replacement.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>
#include <utility>

namespace pairmark::store {

/// A file descriptor that closes itself.
class Descriptor {
  public:
    explicit Descriptor(int fd = -1) : fd_(fd) {}
    ~Descriptor();
    Descriptor(Descriptor&& other) noexcept : fd_(std::exchange(other.fd_, -1)) {}
    Descriptor& operator=(Descriptor&& other) noexcept {
        std::swap(fd_, other.fd_);
        return *this;
    }
    int get() const { return fd_; }

  private:
    int fd_;
};

/// Held as long as it lives: no second process (nor a second Store in this one) gets it.
struct Lock {
    Descriptor file;
};

std::filesystem::path beside(const std::filesystem::path& path, std::string_view suffix);

/// The path with the links of its folder resolved; the last name is left as it is. Throws StoreFault.
std::filesystem::path with_real_folder(const std::filesystem::path& path);

/// Throws StoreFault if there is a link, a folder or a device at `path`. Nothing there is fine.
void refuse_unless_plain(const std::filesystem::path& path);

/// Takes the lock file, made with mode 0600 if need be. Throws StoreFault that names the holder.
Lock take_lock(const std::filesystem::path& file);

/// Makes the file with mode 0600 if it is not there; else checks that it is a plain file of this user and
/// takes others' rights off it. Follows no link. Gives its inode. Throws StoreFault.
std::uint64_t own_file(const std::filesystem::path& path);

/// Writes a file of mode 0600 in one step: a reader, or a start after a power cut, finds the old or the new
/// bytes, whole. Throws StoreFault.
void replace_file(const std::filesystem::path& path, std::string_view bytes);

}  // namespace pairmark::store
