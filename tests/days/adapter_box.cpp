#include "tests/days/adapter_box.hpp"

#include <algorithm>
#include <stdexcept>

#include "protocol/crc32.hpp"
#include "protocol/line.hpp"

namespace pairmark::days {
namespace {

constexpr unsigned seen_after_ms = 100;  // shorter light is a flicker
constexpr std::size_t piece_size = 64;

std::string text_of(protocol::LineWriter& writer) {
    const protocol::Text text = writer.finish();
    return {text.data, text.size};
}

std::string greeting(const std::string& id) {
    protocol::LineWriter line("GREET");
    line.add_count("proto", 1).add("store", "0000000000000000").add_count("acked", 0);
    line.add("give", id.c_str());
    return text_of(line);
}

}  // namespace

AdapterBox::AdapterBox(std::uint32_t seed, const std::string& id, const std::vector<std::uint8_t>& profile)
    : eeprom_(seed) {
    power_on();
    const auto wait = [this](unsigned ms) {
        for (unsigned i = 0; i < ms; ++i) {
            step();
            pass(1);
        }
    };
    wait(1500);
    hear(greeting(id));
    wait(1500);
    hear(greeting(id));
    wait(1500);
    for (std::size_t at = 0; at < profile.size(); at += piece_size) {
        protocol::LineWriter part("PART");
        part.add_count("at", static_cast<std::uint32_t>(at))
            .add_count("of", static_cast<std::uint32_t>(profile.size()))
            .add_hex("hex", profile.data() + at, std::min(piece_size, profile.size() - at));
        hear(text_of(part));
        wait(600);
    }
    protocol::LineWriter commit("COMMIT");
    commit.add_count("len", static_cast<std::uint32_t>(profile.size()))
        .add_hex("crc", protocol::crc32(profile.data(), profile.size()));
    hear(text_of(commit));
    wait(1500);
    if (!adapter_->profile().is_open()) throw std::logic_error("the adapter does not take its profile");
    cut();
    power_on();
    starts_ = 0;
    torn_ = 0;
}

void AdapterBox::hear(std::string_view bytes) {
    if (!board_) return;
    board_->host_writes(bytes);
    fresh_bytes_ = true;
}

std::string AdapterBox::say() {
    return board_ ? board_->host_reads() : std::string();
}

void AdapterBox::port_opened() {
    if (resets_on_open && board_) reset(firmware::ResetCause::pin);
}

void AdapterBox::print(std::string_view capture, std::uint8_t faults) {
    if (!board_ || capture.empty()) return;
    if (cues_without_keeping) {
        lies_until_ = now_ms_ + 200;
        return;
    }
    board_->instrument_writes(capture.substr(0, capture.size() - 1));
    board_->instrument_writes(capture.substr(capture.size() - 1), faults);
    fresh_bytes_ = true;
}

void AdapterBox::hold_keys(std::uint8_t keys) {
    if (!board_) return;
    board_->hold_keys(keys);
    fresh_bytes_ = true;
}

void AdapterBox::power_on(firmware::ResetCause cause) {
    board_ = std::make_unique<firmware::NativeBoard>(eeprom_, cause);
    adapter_ = std::make_unique<firmware::Adapter>(*board_);
    adapter_->start();
    fresh_bytes_ = true;
}

void AdapterBox::cut() {
    if (!board_) return;
    const std::size_t before = eeprom_.torn();
    if (!board_->is_dead()) board_->cut_now();
    torn_ += static_cast<unsigned>(eeprom_.torn() - std::min(before, eeprom_.torn()));
    adapter_.reset();
    board_.reset();
    lit_ = false;
    ++starts_;
}

void AdapterBox::reset(firmware::ResetCause cause) {
    if (!board_) return;
    board_->pass(4);
    (void)board_->eeprom_ready();
    adapter_.reset();
    power_on(cause);
    lit_ = false;
    ++starts_;
}

bool AdapterBox::lamp(firmware::Cue cue) const {
    return board_ && (board_->lamps() >> static_cast<unsigned>(cue) & 1U) != 0;
}

void AdapterBox::step() {
    if (!board_) return;
    fresh_bytes_ = false;
    for (int more = 0; adapter_->step() && !board_->is_dead(); ++more)
        if (more > 10'000) throw std::logic_error("the adapter never comes to rest");
    if (board_->is_dead()) {
        ++torn_;
        cut();
        if (on_cut) on_cut();
    }
    look();
}

void AdapterBox::look() {
    const bool lit = lamp(firmware::Cue::accepted) || now_ms_ < lies_until_;
    if (lit && !lit_) {
        lit_since_ = now_ms_;
        seen_ = false;
    }
    lit_ = lit;
    if (lit_ && !seen_ && now_ms_ - lit_since_ >= seen_after_ms) {
        seen_ = true;
        ++accepted_seen_;
    }
}

void AdapterBox::pass(unsigned ms) {
    now_ms_ += ms;
    if (board_) board_->pass(ms);
}

bool AdapterBox::is_busy() const {
    return board_ && (fresh_bytes_ || adapter_->busy() || !board_->eeprom_ready());
}

}  // namespace pairmark::days
