#include "tests/days/fake_ports.hpp"

#include <algorithm>

#include "protocol/line.hpp"

namespace pairmark::days {
namespace {

constexpr std::size_t bytes_a_ms = 11;       // 115200 baud, 8N1
constexpr std::size_t tty_buffer = 4095;     // what Linux keeps for a program that does not read
constexpr std::size_t largest_piece = 1024;  // what a program reads at once

}  // namespace

class FakePorts::LineStream final : public link::Stream {
  public:
    explicit LineStream(std::shared_ptr<Line> line) : line_(std::move(line)) {}
    ~LineStream() override { line_->closed = true; }
    LineStream(const LineStream&) = delete;
    LineStream& operator=(const LineStream&) = delete;
    void write(std::string bytes) override { line_->from_host += bytes; }
    bool all_written() const override { return line_->from_host.empty(); }
    std::uint64_t bytes_read() const override { return line_->read; }
    std::uint64_t bytes_written() const override { return line_->written; }

  private:
    std::shared_ptr<Line> line_;
};

std::vector<std::string> FakePorts::to_try() {
    std::vector<std::string> paths;
    for (const auto& [path, socket] : sockets_)
        paths.push_back(path);
    return paths;
}

link::Opened FakePorts::open(const std::string& path, link::Stream::Handlers handlers) {
    const auto found = sockets_.find(path);
    if (found == sockets_.end())
        return link::OpenFault{path + " is not there", "plug the adapter in, or see `pairmark ports`"};
    if (taken_[path])
        return link::OpenFault{path + " is in use by another program",
                               "close the other program (or the other Pairmark) that uses this port"};
    auto line = std::make_shared<Line>();
    line->handlers = std::move(handlers);
    found->second.line = line;
    found->second.to_host.clear();
    ++opened_;
    found->second.device->port_opened();
    if (on_open) on_open(path);
    return std::make_unique<LineStream>(std::move(line));
}

void FakePorts::plug_in(const std::string& path, Device& device) {
    unplug(path);
    (void)device.say();  // to nobody
    sockets_[path].device = &device;
}

void FakePorts::unplug(const std::string& path) {
    const auto found = sockets_.find(path);
    if (found == sockets_.end()) return;
    if (const auto& line = found->second.line; line && !line->closed) {
        line->gone = true;
        ending_.push_back(line);
    }
    sockets_.erase(found);
}

std::string FakePorts::port_of(const Device& device) const {
    for (const auto& [path, socket] : sockets_)
        if (socket.device == &device) return path;
    return {};
}

std::string FakePorts::in_use() const {
    for (const auto& [path, socket] : sockets_)
        if (socket.line && !socket.line->closed) return path;
    return {};
}

void FakePorts::inject(const std::string& path, const std::string& bytes) {
    if (const auto found = sockets_.find(path); found != sockets_.end()) found->second.to_host += bytes;
}

std::string FakePorts::over_the_wire(std::string& from, unsigned ms) {
    const std::size_t size = std::min(from.size(), bytes_a_ms * ms);
    std::string bytes = from.substr(0, size);
    from.erase(0, size);
    if (noise_ == 0) return bytes;
    std::string damaged;
    for (const char byte : bytes) {
        if (!chance_.one_in(noise_)) {
            damaged += byte;
            continue;
        }
        switch (chance_.below(4)) {
            case 0:
                break;  // lost
            case 1:
                damaged += {byte, byte};
                break;
            default:
                damaged += static_cast<char>(byte ^ (1 << chance_.below(8)));
        }
    }
    return damaged;
}

void FakePorts::deliver(const std::shared_ptr<Line>& line) {
    while (!line->closed && !line->buffered.empty()) {
        const std::string piece = line->buffered.substr(0, largest_piece);
        line->buffered.erase(0, piece.size());
        line->read += piece.size();
        line->handlers.on_bytes({reinterpret_cast<const std::uint8_t*>(piece.data()), piece.size()});
    }
}

void FakePorts::acknowledge(Device& device, const std::string& said) {
    protocol::LineReader reader;
    for (const char byte : said) {
        if (reader.take(static_cast<std::uint8_t>(byte)) != protocol::LineReader::Found::line ||
            !(reader.line().kind() == "EVENT"))
            continue;
        protocol::LineWriter answer("ACK");
        for (const char* key : {"id", "ep", "n", "rec"}) {
            protocol::Text value{nullptr, 0};
            (void)reader.line().get(key, value);
            answer.add(key, value);
        }
        const protocol::Text text = answer.finish();
        device.hear({text.data, text.size});
    }
}

void FakePorts::carry(unsigned ms) {
    // A handler may close and open ports, and plugging is the caller's; so by name.
    for (const std::string& path : to_try()) {
        const auto found = sockets_.find(path);
        if (found == sockets_.end()) continue;
        Socket& socket = found->second;
        const std::string words = socket.device->say();
        if (acknowledges) acknowledge(*socket.device, words);
        socket.to_host += words;
        const std::shared_ptr<Line> line = socket.line;
        if (!line || line->closed) {
            socket.to_host.clear();  // nobody listens, and the computer keeps nothing
            continue;
        }
        const std::size_t before = line->from_host.size();
        const std::string heard = over_the_wire(line->from_host, ms);
        line->written += before - line->from_host.size();
        if (!heard.empty()) socket.device->hear(heard);
        const std::string said = over_the_wire(socket.to_host, ms);
        if (!silent_)
            line->buffered += said.substr(0, tty_buffer - std::min(tty_buffer, line->buffered.size()));
        if (!stalled_) deliver(line);
    }
    if (stalled_ || ending_.empty()) return;
    std::vector<std::shared_ptr<Line>> ending;
    ending.swap(ending_);
    for (const auto& line : ending) {
        deliver(line);
        if (!line->closed) line->handlers.on_end("its far end closed");
    }
}

bool FakePorts::quiet() const {
    return ending_.empty() && std::all_of(sockets_.begin(), sockets_.end(), [](const auto& named) {
               const Socket& socket = named.second;
               return socket.to_host.empty() &&
                      (!socket.line || socket.line->closed ||
                       (socket.line->from_host.empty() && socket.line->buffered.empty()));
           });
}

}  // namespace pairmark::days
