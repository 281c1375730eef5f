#include "protocol/line.hpp"

namespace pairmark {
namespace protocol {

LineReader::Found LineReader::take(uint8_t byte) {
    if (began_) {
        buffer_[0] = '@';
        size_ = 1;
        began_ = false;
    }
    if (byte == '\n') return end_of_line();
    if (byte == '@') {
        const bool after_something = size_ != 0;
        skipping_ = false;
        began_ = true;
        if (!after_something) return Found::nothing;
        raw_size_ = size_;
        size_ = 0;
        return refuse(buffer_[0] == '@' ? LineFault::malformed : LineFault::not_a_line);
    }
    if (skipping_) return Found::nothing;
    if (size_ == max_line - 1) {  // only LF could still end a line here
        raw_size_ = size_;
        size_ = 0;
        skipping_ = true;
        return refuse(buffer_[0] == '@' ? LineFault::too_long : LineFault::not_a_line);
    }
    buffer_[size_++] = static_cast<char>(byte);
    return Found::nothing;
}

LineReader::Found LineReader::end_of_line() {
    const bool was_skipping = skipping_;
    const size_t size = size_;
    skipping_ = false;
    size_ = 0;
    if (was_skipping || size == 0 || (size == 1 && buffer_[0] == '\r')) return Found::nothing;
    const bool has_cr = buffer_[size - 1] == '\r';
    raw_size_ = has_cr ? size - 1 : size;
    LineFault fault = parse_line(raw(), line_);
    if (fault == LineFault::none && !has_cr) fault = LineFault::malformed;
    if (fault != LineFault::none) return refuse(fault);
    fault_ = LineFault::none;
    told_garbage_ = false;
    ++good_;
    return Found::line;
}

LineReader::Found LineReader::refuse(LineFault fault) {
    const bool garbage = buffer_[0] != '@';
    fault_ = fault;
    if (garbage && told_garbage_) return Found::nothing;
    if (garbage) told_garbage_ = true;
    ++damaged_;
    return Found::fault;
}

}  // namespace protocol
}  // namespace pairmark
