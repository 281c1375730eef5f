// A disk without room, for this process.
#pragma once

#include <sys/resource.h>

#include <csignal>

namespace pairmark::tests {

/// No file may grow while it lives, as on a full disk.
class FullDisk {
  public:
    FullDisk() {
        (void)std::signal(SIGXFSZ, SIG_IGN);
        (void)::getrlimit(RLIMIT_FSIZE, &before_);
        struct rlimit none = before_;
        none.rlim_cur = 0;
        (void)::setrlimit(RLIMIT_FSIZE, &none);
    }
    ~FullDisk() { (void)::setrlimit(RLIMIT_FSIZE, &before_); }
    FullDisk(const FullDisk&) = delete;
    FullDisk& operator=(const FullDisk&) = delete;

  private:
    struct rlimit before_ {};
};

}  // namespace pairmark::tests
