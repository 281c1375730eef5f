// Looking into a store that the daemon may have open.
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdint>

#include "host/store/connection.hpp"
#include "host/store/schema.hpp"
#include "host/store/store.hpp"

namespace pairmark::store {
namespace {

/// The inode of the user's own plain file. Nothing is made, changed or even opened: SQLite's locks in this
/// process would go with another descriptor of the file.
std::uint64_t own_inode(const std::filesystem::path& path) {
    refuse_unless_plain(path);
    struct stat status {};
    if (::lstat(path.c_str(), &status) != 0)
        throw StoreFault({"there is no store here yet", path.string(),
                          "check the configuration's \"database\"; the first `pairmark run` makes it"});
    if (status.st_uid != ::geteuid())
        throw StoreFault({"the store belongs to another user", path.string(),
                          "run this as that user, or give the files to this one"});
    return status.st_ino;
}

}  // namespace

Store Store::open_to_read(const std::filesystem::path& path) {
    const std::filesystem::path real = with_real_folder(path);
    const std::uint64_t inode = own_inode(real);
    for (const char* suffix : {"-wal", "-shm", "-journal"})
        refuse_unless_plain(beside(real, suffix));
    try {
        auto connection = std::make_unique<Connection>(real, Lock{Descriptor()}, inode, Access::read_only);
        check_schema(*connection);
        return Store(std::move(connection));
    } catch (const StoreFailure& failure) {
        throw StoreFault(failure.trouble);
    }
}

}  // namespace pairmark::store
