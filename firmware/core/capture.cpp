#include "firmware/core/capture.hpp"

#include "protocol/crc32.hpp"

namespace pairmark {
namespace firmware {

using protocol::FrameBy;

void CaptureFramer::clear() {
    length_ = 0;
    crc_ = 0;
    tail_ = 0;
    faults_ = 0;
    cut_short_ = false;
    noise_ = false;
    ended_ = false;
}

void CaptureFramer::set(const protocol::Framing& framing) {
    framing_ = framing;
    clear();
    ended_ = true;
    held_ = false;
}

CaptureFramer::Found CaptureFramer::take(InstrumentByte byte, uint32_t now) {
    if (ended_) clear();
    if (framing_.has_start && byte.value == framing_.start && byte.faults == 0 && noise_) {
        held_ = true;
        held_byte_ = byte;
        ended_ = true;
        return Found::noise;
    }
    if (framing_.has_start && length_ == 0 && (byte.value != framing_.start || byte.faults != 0))
        noise_ = true;
    return add(byte, now);
}

CaptureFramer::Found CaptureFramer::resume(uint32_t now) {
    if (!held_) return Found::nothing;
    held_ = false;
    clear();
    return add(held_byte_, now);
}

CaptureFramer::Found CaptureFramer::add(InstrumentByte byte, uint32_t now) {
    last_ms_ = now;
    faults_ |= byte.faults;
    crc_ = protocol::crc32(&byte.value, 1, crc_);
    tail_ = (tail_ << 8) | byte.value;
    if (length_ < protocol::max_capture) bytes_[length_] = byte.value;
    if (length_ < 0xFFFF) ++length_;
    if (noise_) return Found::nothing;
    if (framing_.by == FrameBy::length && length_ >= framing_.length) ended_ = true;
    if (framing_.by == FrameBy::terminator && length_ >= framing_.terminator_size) {
        bool same = true;
        for (uint8_t i = 0; i < framing_.terminator_size; ++i) {
            const uint8_t seen = static_cast<uint8_t>(tail_ >> (8 * (framing_.terminator_size - 1 - i)));
            if (seen != framing_.terminator[i]) same = false;
        }
        if (same) ended_ = true;
    }
    return ended_ ? Found::capture : Found::nothing;
}

CaptureFramer::Found CaptureFramer::tick(uint32_t now) {
    if (ended_ || length_ == 0 || now - last_ms_ < framing_.idle_ms) return Found::nothing;
    ended_ = true;
    if (noise_) return Found::noise;
    cut_short_ = framing_.by != FrameBy::idle;
    return Found::capture;
}

}  // namespace firmware
}  // namespace pairmark
