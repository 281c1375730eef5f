// A pseudo-terminal in place of the adapter's serial port, and the loop that serves it. No test opens a real
// port.
#pragma once

#include <fcntl.h>
#include <pty.h>
#include <unistd.h>

#include <array>
#include <boost/asio/io_context.hpp>
#include <chrono>
#include <functional>
#include <stdexcept>
#include <string>

#include "tests/store/fresh_folder.hpp"

namespace pairmark::tests {

/// The adapter's end. The port's name is a link, so that another adapter can take the same place.
class Plug {
  public:
    explicit Plug(std::filesystem::path port) : port_(std::move(port)) {}
    ~Plug() { pull(); }
    Plug(const Plug&) = delete;
    Plug& operator=(const Plug&) = delete;

    void plug_in() {
        int slave = -1;
        std::array<char, 128> name{};
        if (openpty(&master_, &slave, name.data(), nullptr, nullptr) != 0)
            throw std::runtime_error("no pseudo-terminal for the test");
        (void)::close(slave);
        (void)::fcntl(master_, F_SETFL, O_NONBLOCK);
        std::filesystem::create_symlink(name.data(), port_);
    }
    void pull() {
        if (master_ < 0) return;
        (void)::close(master_);
        master_ = -1;
        std::error_code ignored;
        std::filesystem::remove(port_, ignored);
    }
    void say(const std::string& bytes) {
        if (::write(master_, bytes.data(), bytes.size()) != static_cast<ssize_t>(bytes.size()))
            throw std::runtime_error("the pseudo-terminal takes no more bytes");
    }
    /// Everything that the host has sent since `forget`.
    const std::string& heard() {
        std::array<char, 4096> bytes{};
        for (ssize_t n = ::read(master_, bytes.data(), bytes.size()); n > 0;
             n = ::read(master_, bytes.data(), bytes.size()))
            heard_.append(bytes.data(), static_cast<std::size_t>(n));
        return heard_;
    }
    void forget() {
        (void)heard();
        heard_.clear();
    }

  private:
    std::filesystem::path port_;
    int master_ = -1;
    std::string heard_;
};

/// Runs the loop until `done`; throws if nothing happens for so long that nothing will.
inline void run_until(boost::asio::io_context& loop, const std::function<bool()>& done) {
    while (!done()) {
        loop.restart();
        if (loop.run_one_for(std::chrono::seconds(20)) == 0)
            throw std::runtime_error("what the test waits for does not come");
    }
}

}  // namespace pairmark::tests
