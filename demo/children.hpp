// The programs that the demo starts, and stops again.
#pragma once

#include <sys/types.h>

#include <string>
#include <vector>

namespace pairmark::demo {

/// A child process whose standard output is read here. Ended (SIGTERM, then SIGKILL) when the object goes.
class Child {
  public:
    /// Starts `command` (a path and its arguments). Throws std::runtime_error if it cannot be started.
    explicit Child(std::vector<std::string> command);
    ~Child();
    Child(const Child&) = delete;
    Child& operator=(const Child&) = delete;

    int output() const { return output_; }
    /// Lines that are there now, without waiting. `ended` is set when the child has closed its output.
    std::vector<std::string> lines(bool& ended);
    /// Asks it to end, waits, gives its exit status (128 + signal if a signal ended it).
    int end();
    int wait();

  private:
    std::string name_;
    pid_t pid_ = -1;
    int output_ = -1;
    std::string partial_;
};

}  // namespace pairmark::demo
