#include "demo/children.hpp"

#include <fcntl.h>
#include <poll.h>
#include <spawn.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <csignal>
#include <cstring>
#include <stdexcept>

namespace pairmark::demo {

Child::Child(std::vector<std::string> command) : name_(command.front()) {
    std::array<int, 2> ends{};
    if (pipe2(ends.data(), O_CLOEXEC) != 0) throw std::runtime_error("cannot make a pipe");
    std::vector<char*> arguments;
    for (std::string& word : command)
        arguments.push_back(word.data());
    arguments.push_back(nullptr);
    posix_spawn_file_actions_t actions;
    (void)posix_spawn_file_actions_init(&actions);
    (void)posix_spawn_file_actions_adddup2(&actions, ends[1], STDOUT_FILENO);
    const int error = posix_spawn(&pid_, arguments.front(), &actions, nullptr, arguments.data(), environ);
    (void)posix_spawn_file_actions_destroy(&actions);
    (void)close(ends[1]);
    output_ = ends[0];
    if (error != 0) {
        (void)close(output_);
        pid_ = -1;
        throw std::runtime_error("cannot start " + name_ + ": " + std::strerror(error));
    }
    (void)fcntl(output_, F_SETFL, O_NONBLOCK);
}

Child::~Child() {
    if (pid_ > 0) (void)end();
    if (output_ >= 0) (void)close(output_);
}

std::vector<std::string> Child::lines(bool& ended) {
    std::array<char, 4096> buffer{};
    for (;;) {
        const ssize_t n = read(output_, buffer.data(), buffer.size());
        if (n > 0) {
            partial_.append(buffer.data(), static_cast<std::size_t>(n));
            continue;
        }
        if (n == 0) ended = true;
        if (n < 0 && errno == EINTR) continue;
        break;
    }
    std::vector<std::string> found;
    for (std::size_t end = partial_.find('\n'); end != std::string::npos; end = partial_.find('\n')) {
        found.push_back(partial_.substr(0, end));
        partial_.erase(0, end + 1);
    }
    return found;
}

int Child::wait() {
    int status = 0;
    while (waitpid(pid_, &status, 0) < 0 && errno == EINTR) {
    }
    pid_ = -1;
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

int Child::end() {
    if (pid_ <= 0) return 0;
    (void)kill(pid_, SIGTERM);
    // The child's end closes its output; what it still says there is drained meanwhile.
    std::array<char, 4096> buffer{};
    for (int tries = 0; tries < 100; ++tries) {
        pollfd wait_for{output_, POLLIN, 0};
        if (poll(&wait_for, 1, 100) > 0 && read(output_, buffer.data(), buffer.size()) == 0) return wait();
    }
    (void)kill(pid_, SIGKILL);
    return wait();
}

}  // namespace pairmark::demo
