#include "tests/faults/forked.hpp"

#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <stdexcept>

namespace pairmark::sim {

bool Forked::fork(const std::string& id) {
    take_report();
    int ends[2];
    if (pipe(ends) != 0) throw std::runtime_error("no pipe for a child process");
    const pid_t child = ::fork();
    if (child < 0) throw std::runtime_error("no child process");
    if (child == 0) {
        close(ends[0]);
        to_parent_ = ends[1];
        alarm(300);  // a child that hangs is reported as one that died
        return true;
    }
    close(ends[1]);
    child_ = child;
    from_child_ = ends[0];
    id_ = id;
    return false;
}

void Forked::report(const Report& report) const {
    const std::string line =
        std::to_string(report.torn) + " " + std::to_string(report.again) + " " + report.text.substr(0, 4000);
    const ssize_t wrote = write(to_parent_, line.data(), line.size());
    _exit(wrote == static_cast<ssize_t>(line.size()) ? 0 : 1);
}

void Forked::take_report() {
    if (child_ == 0) return;
    std::string line;
    char piece[512];
    for (ssize_t got = 0; (got = read(from_child_, piece, sizeof piece)) > 0;)
        line.append(piece, static_cast<size_t>(got));
    close(from_child_);
    int status = 0;
    waitpid(child_, &status, 0);
    child_ = 0;
    Report report;
    char* rest = line.data();
    report.torn = std::strtoull(rest, &rest, 10);
    report.again = std::strtoull(rest, &rest, 10);
    if (*rest == ' ') ++rest;
    report.text = rest;
    if (status != 0) report.text += " (the trial's process died: status " + std::to_string(status) + ")";
    told_(id_, report);
}

}  // namespace pairmark::sim
