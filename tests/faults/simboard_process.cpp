#include "tests/faults/simboard_process.hpp"

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cstring>
#include <filesystem>
#include <sstream>
#include <stdexcept>

#include "tests/trees.hpp"

namespace pairmark::sim {
namespace {

constexpr int patience_ms = 10'000;

void wait_readable(int descriptor, const char* what) {
    pollfd waiting{descriptor, POLLIN, 0};
    if (poll(&waiting, 1, patience_ms) <= 0)
        throw std::runtime_error(std::string("nothing came from ") + what);
}

}  // namespace

Place::Place() {
    std::string name = (std::filesystem::temp_directory_path() / "pairmark-board-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no temporary directory");
    path_ = name;
}

Place::~Place() {
    std::filesystem::remove_all(path_);
}

SimboardProcess::SimboardProcess(const Place& place, const std::string& elf, std::vector<std::string> more) {
    const std::string simboard = tests::in_build_tree("pairmark-simboard");
    std::vector<std::string> words{simboard,       "--firmware",        elf,
                                   "--socket",     place / "socket",    "--host-port",
                                   place / "host", "--instrument-port", place / "instrument"};
    words.insert(words.end(), more.begin(), more.end());
    std::vector<char*> arguments;
    for (std::string& word : words)
        arguments.push_back(word.data());
    arguments.push_back(nullptr);
    if (posix_spawn(&child_, simboard.c_str(), nullptr, nullptr, arguments.data(), environ) != 0)
        throw std::runtime_error("cannot start " + simboard);
    // The socket is the last thing that it makes.
    for (int i = 0; i < patience_ms && !std::filesystem::is_socket(place / "socket"); ++i) {
        if (waitpid(child_, nullptr, WNOHANG) == child_) {
            child_ = -1;
            throw std::runtime_error("it ended at once");
        }
        poll(nullptr, 0, 1);
    }
}

SimboardProcess::~SimboardProcess() {
    if (child_ > 0) end();
}

int SimboardProcess::end() {
    kill(child_, SIGTERM);
    int status = -1;
    waitpid(child_, &status, 0);
    child_ = -1;
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

SocketClient::SocketClient(const std::string& path)
    : socket_(socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    std::strncpy(address.sun_path, path.c_str(), sizeof address.sun_path - 1);
    int connected = -1;
    for (int i = 0; i < patience_ms && connected != 0; ++i) {  // bound, but perhaps not yet listening
        connected = connect(socket_, reinterpret_cast<const sockaddr*>(&address), sizeof address);
        if (connected != 0) poll(nullptr, 0, 1);
    }
    if (connected != 0) throw std::runtime_error("cannot reach " + path);
}

SocketClient::~SocketClient() {
    close(socket_);
}

void SocketClient::say(const std::string& line) {
    const std::string text = line + "\n";
    if (send(socket_, text.data(), text.size(), MSG_NOSIGNAL) != static_cast<ssize_t>(text.size()))
        throw std::runtime_error("the board does not listen");
}

bool SocketClient::has_unread() const {
    pollfd waiting{socket_, POLLIN, 0};
    return unread_.find('\n') != std::string::npos || poll(&waiting, 1, 0) > 0;
}

Tick SocketClient::next_tick() {
    size_t end = 0;
    while ((end = unread_.find('\n')) == std::string::npos) {
        wait_readable(socket_, "the board's socket");
        std::array<char, 512> piece{};
        const ssize_t got = recv(socket_, piece.data(), piece.size(), 0);
        if (got <= 0) throw std::runtime_error("the board closed its socket");
        unread_.append(piece.data(), static_cast<size_t>(got));
    }
    std::istringstream words(unread_.substr(0, end));
    unread_.erase(0, end + 1);
    std::string word;
    words >> word;
    if (word != "tick") throw std::runtime_error("not a tick: " + word);
    Tick tick;
    while (words >> word)
        tick.fields[word.substr(0, word.find('='))] = word.substr(word.find('=') + 1);
    return tick;
}

Terminal::Terminal(const std::string& path) : descriptor_(open(path.c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC)) {
    if (descriptor_ < 0) throw std::runtime_error("cannot open " + path);
}

Terminal::~Terminal() {
    close(descriptor_);
}

void Terminal::write(const std::string& bytes) {
    if (::write(descriptor_, bytes.data(), bytes.size()) != static_cast<ssize_t>(bytes.size()))
        throw std::runtime_error("the terminal took not all");
}

std::string Terminal::read(size_t count) {
    std::string bytes(count, '\0');
    for (size_t at = 0; at < count;) {
        wait_readable(descriptor_, "the terminal");
        const ssize_t got = ::read(descriptor_, bytes.data() + at, count - at);
        if (got <= 0) throw std::runtime_error("the terminal is closed");
        at += static_cast<size_t>(got);
    }
    return bytes;
}

}  // namespace pairmark::sim
