// Copies of this process, each with one report to make: how a long simulation is continued in many ways from
// the middle. Two processes run at most, this one included.
#pragma once

#include <sys/types.h>

#include <cstdint>
#include <functional>
#include <string>

namespace pairmark::sim {

class Forked {
  public:
    struct Report {
        std::string text;
        uint64_t torn = 0;
        uint64_t again = 0;
    };
    using Told = std::function<void(const std::string& id, const Report& report)>;

    /// `told` hears the report of each child, with the id that it was forked with.
    explicit Forked(Told told) : told_(std::move(told)) {}
    Forked(const Forked&) = delete;
    Forked& operator=(const Forked&) = delete;

    /// True in the child. Throws std::runtime_error if there can be none.
    bool fork(const std::string& id);
    bool is_child() const { return to_parent_ >= 0; }
    /// Ends the child, without any of the parent's destructors or buffers.
    [[noreturn]] void report(const Report& report) const;
    void wait_for_all() { take_report(); }

  private:
    void take_report();

    Told told_;
    int to_parent_ = -1;
    pid_t child_ = 0;
    int from_child_ = -1;
    std::string id_;
};

}  // namespace pairmark::sim
