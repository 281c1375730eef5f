// A computer's serial ports, made up: what is plugged in where, who has it open, and what the cables do to
// bytes.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "host/link/stream.hpp"
#include "tests/days/chance.hpp"

namespace pairmark::days {

/// Somebody at the far end of a port's cable.
class Device {
  public:
    virtual ~Device() = default;
    virtual void hear(std::string_view bytes) = 0;
    /// What it said since the last call.
    virtual std::string say() = 0;
    /// A program opened the port, which some boards take as a reset.
    virtual void port_opened() {}
};

class FakePorts final : public link::Ports {
  public:
    explicit FakePorts(Chance chance) : chance_(chance) {}

    std::vector<std::string> to_try() override;
    link::Opened open(const std::string& path, link::Stream::Handlers handlers) override;

    /// The device must outlive its being plugged in.
    void plug_in(const std::string& path, Device& device);
    void unplug(const std::string& path);
    bool is_plugged(const std::string& path) const { return sockets_.contains(path); }
    /// Where a device is plugged in; empty: nowhere.
    std::string port_of(const Device& device) const;
    /// Another program has the port open.
    void take(const std::string& path, bool taken) { taken_[path] = taken; }
    /// Where our program has a port open; empty: nowhere.
    std::string in_use() const;
    /// Bytes that lie before the computer as if they came over that cable.
    void inject(const std::string& path, const std::string& bytes);

    /// Our program does nothing for a while: what comes waits in the computer's buffer.
    void stall(bool stalled) { stalled_ = stalled; }
    /// Nothing gets through to our program, whatever is said: a dead cable.
    void silence(bool silent) { silent_ = silent; }
    /// One byte in so many is damaged, lost or doubled, each way; 0: none.
    void disturb(unsigned one_in) { noise_ = one_in; }

    /// For the trial of the trial: the cable acknowledges each event as if a computer had stored it.
    bool acknowledges = false;

    /// Ports opened since the day began.
    unsigned opened() const { return opened_; }
    std::function<void(const std::string& path)> on_open;

    /// Lets `ms` milliseconds pass on the cables, and calls the handlers of what comes.
    void carry(unsigned ms);
    /// No byte is on its way.
    bool quiet() const;

  private:
    /// What a stream and its socket share; whoever of them goes first leaves it to the other.
    struct Line {
        link::Stream::Handlers handlers;
        std::string from_host;
        std::string buffered;  // for a stalled program
        std::uint64_t read = 0;
        std::uint64_t written = 0;
        bool closed = false;  // by our program
        bool gone = false;    // the far end
    };
    class LineStream;
    struct Socket {
        Device* device = nullptr;
        std::shared_ptr<Line> line;
        std::string to_host;
    };
    std::string over_the_wire(std::string& from, unsigned ms);
    void deliver(const std::shared_ptr<Line>& line);
    static void acknowledge(Device& device, const std::string& said);

    Chance chance_;
    std::map<std::string, Socket> sockets_;
    std::map<std::string, bool> taken_;
    std::vector<std::shared_ptr<Line>> ending_;
    bool stalled_ = false;
    bool silent_ = false;
    unsigned noise_ = 0;
    unsigned opened_ = 0;
};

}  // namespace pairmark::days
