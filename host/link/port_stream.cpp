#include "host/link/port_stream.hpp"

#include <unistd.h>

#include <array>
#include <boost/asio/buffer.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/write.hpp>

#include "host/link/serial_port.hpp"

namespace pairmark::link {

namespace asio = boost::asio;

// Handlers hold the state, not the stream, so that one still in flight when the stream is destroyed finds
// `ended` set.
struct PortStream::State : std::enable_shared_from_this<State> {
    State(asio::io_context& loop, Handlers h) : port(loop), handlers(std::move(h)) {}

    void start(int descriptor) {
        boost::system::error_code error;
        port.assign(descriptor, error);
        if (!error) return read();
        // The loop cannot wait for this port: it ends like one that was unplugged at once.
        unmark_serial_port(descriptor);
        (void)::close(descriptor);
        asio::post(port.get_executor(), [self = shared_from_this(), error] {
            if (!self->ended) self->end(error);
        });
    }

    void read() {
        port.async_read_some(asio::buffer(buffer),
                             [self = shared_from_this()](boost::system::error_code error, std::size_t n) {
                                 if (self->ended) return;
                                 if (error) return self->end(error);
                                 self->read_count += n;
                                 self->handlers.on_bytes({self->buffer.data(), n});
                                 if (!self->ended) self->read();
                             });
    }

    void write_more() {
        if (writing || queued.empty() || ended) return;
        writing = true;
        in_flight.swap(queued);
        asio::async_write(port, asio::buffer(in_flight),
                          [self = shared_from_this()](boost::system::error_code error, std::size_t n) {
                              self->writing = false;
                              self->written_count += n;
                              self->in_flight.clear();
                              if (self->ended) return;
                              if (error) return self->end(error);
                              self->write_more();
                          });
    }

    void end(boost::system::error_code error) {
        ended = true;
        handlers.on_end(error == asio::error::eof ? "its far end closed" : error.message());
    }

    asio::posix::stream_descriptor port;
    Handlers handlers;
    std::array<std::uint8_t, 1024> buffer{};
    std::string queued;
    std::string in_flight;
    std::uint64_t read_count = 0;
    std::uint64_t written_count = 0;
    bool writing = false;
    bool ended = false;
};

PortStream::PortStream(asio::io_context& loop, int descriptor, Handlers handlers)
    : state_(std::make_shared<State>(loop, std::move(handlers))) {
    state_->start(descriptor);
}

PortStream::~PortStream() {
    state_->ended = true;
    if (state_->port.is_open()) unmark_serial_port(state_->port.native_handle());
    boost::system::error_code ignored;
    state_->port.close(ignored);
}

void PortStream::write(std::string bytes) {
    state_->queued += bytes;
    state_->write_more();
}

bool PortStream::all_written() const {
    return !state_->writing && state_->queued.empty();
}
std::uint64_t PortStream::bytes_read() const {
    return state_->read_count;
}
std::uint64_t PortStream::bytes_written() const {
    return state_->written_count;
}

}  // namespace pairmark::link
