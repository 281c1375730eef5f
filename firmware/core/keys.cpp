#include "firmware/core/keys.hpp"

namespace pairmark {
namespace firmware {
namespace {

bool is_single(uint8_t keys) {
    return keys != 0 && (keys & (keys - 1)) == 0;
}

protocol::Key name_of(uint8_t key) {
    switch (key) {
        case key_go:
            return protocol::Key::go_on;
        case key_down:
            return protocol::Key::turn_down;
        case key_undo:
            return protocol::Key::undo;
        default:
            return protocol::Key::set_aside;
    }
}

}  // namespace

bool Keys::poll(uint8_t down, uint32_t now, Press& press) {
    if (down != seen_) {
        seen_ = down;
        seen_ms_ = now;
    }
    if (seen_ != settled_ && now - seen_ms_ >= debounce_ms) {
        settled_ = seen_;
        if (settled_ == 0) {
            const bool told = state_ == State::down;
            state_ = State::idle;
            if (told) {
                press = {name_of(key_), false, down_ms_};
                return true;
            }
        } else if (state_ == State::idle && is_single(settled_)) {
            state_ = State::down;
            key_ = settled_;
            down_ms_ = seen_ms_;
        } else {
            state_ = State::spent;
        }
    }
    if (state_ == State::down && settled_ == seen_ && now - down_ms_ >= long_ms) {
        state_ = State::spent;
        press = {name_of(key_), true, down_ms_};
        return true;
    }
    return false;
}

}  // namespace firmware
}  // namespace pairmark
