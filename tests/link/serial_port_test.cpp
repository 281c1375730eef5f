#include "host/link/serial_port.hpp"

#include <fcntl.h>
#include <pty.h>
#include <sys/file.h>
#include <termios.h>
#include <unistd.h>

#include <boost/asio/io_context.hpp>
#include <catch2/catch.hpp>

#include "host/link/port_stream.hpp"

using namespace pairmark::link;

namespace {

/// A pseudo-terminal in place of a serial port. No test ever opens a real one.
struct Pty {
    Pty() { REQUIRE(openpty(&master, &slave, name, nullptr, nullptr) == 0); }
    ~Pty() {
        if (master >= 0) close(master);
        if (slave >= 0) close(slave);
    }
    int master = -1;
    int slave = -1;
    char name[128] = {};
};

OpenFault fault_of(const std::string& path) {
    auto result = open_serial_port(path);
    REQUIRE(std::holds_alternative<OpenFault>(result));
    return std::get<OpenFault>(result);
}

}  // namespace

TEST_CASE("a port is opened raw, without hang-up on close") {
    Pty pty;
    auto result = open_serial_port(pty.name);
    REQUIRE(std::holds_alternative<int>(result));
    const int fd = std::get<int>(result);
    termios settings{};
    REQUIRE(tcgetattr(fd, &settings) == 0);
    CHECK((settings.c_cflag & HUPCL) == 0);
    CHECK((settings.c_lflag & (ECHO | ICANON)) == 0);
    CHECK((settings.c_oflag & OPOST) == 0);
    close(fd);
}

TEST_CASE("a second opener is told that the port is in use") {
    Pty pty;
    auto first = open_serial_port(pty.name);
    REQUIRE(std::holds_alternative<int>(first));
    CHECK(fault_of(pty.name).what.find("in use by another program") != std::string::npos);
    close(std::get<int>(first));
}

TEST_CASE("what cannot be opened says what happened and what to do") {
    CHECK(fault_of("/nowhere/port").what == "/nowhere/port is not there");
    CHECK(fault_of("/nowhere/port").next.find("pairmark ports") != std::string::npos);
    CHECK(fault_of("/dev/null").what == "/dev/null is not a serial port");
}

TEST_CASE("a stream reads what comes, writes in order, and ends when its far end closes") {
    Pty pty;
    auto result = open_serial_port(pty.name);
    REQUIRE(std::holds_alternative<int>(result));
    close(pty.slave);
    pty.slave = -1;
    boost::asio::io_context loop;
    std::string got;
    std::string end;
    PortStream stream(
        loop, std::get<int>(result),
        {[&got](std::span<const std::uint8_t> bytes) { got.append(bytes.begin(), bytes.end()); },
         [&end](const std::string& why) { end = why; }});
    REQUIRE(write(pty.master, "hello", 5) == 5);
    while (got.size() < 5)
        loop.run_one();
    CHECK(got == "hello");
    stream.write("one ");
    stream.write("two");
    CHECK_FALSE(stream.all_written());
    while (!stream.all_written())
        loop.run_one();
    // The two writes may come as one piece or as two.
    std::string back;
    while (back.size() < 7) {
        char piece[16] = {};
        const ssize_t count = read(pty.master, piece, sizeof piece);
        REQUIRE(count > 0);
        back.append(piece, static_cast<std::size_t>(count));
    }
    CHECK(back == "one two");
    CHECK(stream.bytes_read() == 5);
    CHECK(stream.bytes_written() == 7);
    close(pty.master);
    pty.master = -1;
    while (end.empty())
        loop.run_one();
    CHECK_FALSE(end.empty());
}
