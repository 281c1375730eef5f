// pairmark-simboard as a child process, and a client of its socket.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace pairmark::sim {

/// A directory of its own, removed at the end.
class Place {
  public:
    Place();
    ~Place();
    Place(const Place&) = delete;
    Place& operator=(const Place&) = delete;
    std::string operator/(const char* name) const { return path_ + "/" + name; }

  private:
    std::string path_;
};

/// Runs the program; its links and its socket exist once the constructor has returned.
class SimboardProcess {
  public:
    SimboardProcess(const Place& place, const std::string& elf, std::vector<std::string> more);
    ~SimboardProcess();
    SimboardProcess(const SimboardProcess&) = delete;
    SimboardProcess& operator=(const SimboardProcess&) = delete;
    int end();  // asks it to end; its exit status

  private:
    int child_ = -1;
};

struct Tick {
    std::map<std::string, std::string> fields;
    uint64_t count(const char* key) const { return std::stoull(fields.at(key)); }
};

class SocketClient {
  public:
    explicit SocketClient(const std::string& path);
    ~SocketClient();
    SocketClient(const SocketClient&) = delete;
    SocketClient& operator=(const SocketClient&) = delete;
    void say(const std::string& line);
    /// Waits for the next tick. Throws std::runtime_error after ten seconds without one.
    Tick next_tick();
    bool has_unread() const;  // without waiting

  private:
    int socket_ = -1;
    std::string unread_;
};

/// The far end of a pseudo-terminal, opened as any program would, and read to an exact count.
class Terminal {
  public:
    explicit Terminal(const std::string& path);
    ~Terminal();
    Terminal(const Terminal&) = delete;
    Terminal& operator=(const Terminal&) = delete;
    void write(const std::string& bytes);
    std::string read(size_t count);

  private:
    int descriptor_ = -1;
};

}  // namespace pairmark::sim
