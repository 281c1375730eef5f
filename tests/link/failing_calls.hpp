// The calls on a serial port, counted, and one of them made to fail: this program defines them itself.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace pairmark::tests {

/// What happened between `arm` and `disarm`.
struct Calls {
    std::vector<std::string> made;  // "open", "ioctl TIOCEXCL", "read", ...
    bool failed = false;            // one was made to fail
};

/// One call of a port's life, by name, since how often a stream reads and writes differs from life to life.
struct Failure {
    std::string call;
    std::size_t at = 0;  // the first of that name is 0
    int error = 0;
};

/// From here the calls on the port of that path are counted, whoever makes them, and that one fails once.
/// EINTR is given only to calls that the system may interrupt: to the others nothing happens then.
void arm(const std::string& port, const Failure& failure);
Calls disarm();

}  // namespace pairmark::tests
