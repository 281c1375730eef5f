#include "tests/faults/host_model.hpp"

#include <algorithm>
#include <cstring>

#include "protocol/crc32.hpp"

namespace pairmark::sim {
namespace {
constexpr uint8_t adapter_id[8] = {0x01, 0x23, 0x45, 0x67, 0x89, 0xAB, 0xCD, 0xEF};
constexpr uint8_t store_id[8] = {0xFE, 0xDC, 0xBA, 0x98, 0x76, 0x54, 0x32, 0x10};
constexpr size_t piece_size = 64;
}  // namespace

using protocol::Line;
using protocol::LineReader;
using protocol::LineWriter;

HostModel::HostModel(Board& board, std::vector<uint8_t> profile)
    : board_(board), profile_(std::move(profile)) {
    board_.host_port().on_sent = [this](uint8_t byte) { hear(byte); };
}

void HostModel::hear(uint8_t byte) {
    const LineReader::Found found = reader_.take(byte);
    if (found == LineReader::Found::line) handle(reader_.line());
}

void HostModel::adapter_went_away() {
    reader_ = LineReader();
    greeted_ = false;
    in_force_ = false;
}

void HostModel::send(LineWriter& line) {
    const protocol::Text text = line.finish();
    for (size_t i = 0; i < text.size; ++i)
        board_.host_port().feed(static_cast<uint8_t>(text.data[i]));
}

void HostModel::handle(const Line& line) {
    const protocol::Text kind = line.kind();
    uint32_t number = 0;
    if (kind == "HELLO") {
        greet(line);
    } else if (kind == "READY") {
        greeted_ = true;
        if (on_greeted)
            on_greeted(known_boot_ != 0 && known_boot_ != boot_, known_epoch_ != 0 && known_epoch_ != epoch_);
        known_boot_ = boot_;
        known_epoch_ = epoch_;
        const bool same =
            line.get_hex("prof", number) && number == protocol::crc32(profile_.data(), profile_.size());
        in_force_ = same;
        if (!same) send_piece(0);
    } else if (kind == "TOOK") {
        if (line.get_count("at", number)) send_piece(number + piece_size);
    } else if (kind == "DONE") {
        in_force_ = true;
    } else if (kind == "EVENT") {
        keep(line);
    } else if (kind == "PONG") {
        uint32_t wait = 0;
        if (line.get_count("n", number) && number == pings_ && line.get_count("wait", wait))
            waiting_ = static_cast<int>(wait);
    } else if (kind == "ERROR") {
        protocol::Text what{};
        if (line.get("what", what) && what == "busy") {
            busy_ = true;
            return;
        }
        errors_.emplace_back(reader_.raw().data, reader_.raw().size);
    }
}

uint32_t HostModel::highest_of(uint16_t epoch) const {
    uint32_t highest = 0;
    for (const auto& [key, crc] : held_)
        if (key.first == epoch) highest = std::max(highest, key.second);
    return highest;
}

void HostModel::greet(const Line& hello) {
    ++hellos_;
    protocol::Text id{};
    uint32_t epoch = 0;
    if (!hello.get("id", id) || !hello.get_count("ep", epoch))
        return errors_.push_back("HELLO without id or epoch");
    (void)hello.get_count("boot", boot_);
    epoch_ = epoch;
    LineWriter answer("GREET");
    answer.add_count("proto", 1).add_hex("store", store_id, sizeof store_id);
    answer.add_count("acked", highest_of(static_cast<uint16_t>(epoch)));
    if (id == "none" && known_boot_ != 0) lost_identity_ = true;
    if (id == "none") answer.add_hex("give", adapter_id, sizeof adapter_id);
    send(answer);
}

void HostModel::send_piece(size_t at) {
    if (at < profile_.size()) {
        LineWriter part("PART");
        part.add_count("at", static_cast<uint32_t>(at))
            .add_count("of", static_cast<uint32_t>(profile_.size()));
        part.add_hex("hex", profile_.data() + at, std::min(piece_size, profile_.size() - at));
        return send(part);
    }
    LineWriter commit("COMMIT");
    commit.add_count("len", static_cast<uint32_t>(profile_.size()));
    commit.add_hex("crc", protocol::crc32(profile_.data(), profile_.size()));
    send(commit);
}

void HostModel::keep(const Line& line) {
    protocol::EventLine event;
    const char* fault = "";
    if (!protocol::read_event(line, event, fault))
        return errors_.push_back(std::string("EVENT refused: ") + fault);
    const std::pair key(event.event.epoch, event.event.number);
    const auto known = held_.find(key);
    if (known != held_.end() && known->second != event.crc) {
        clashed_ = true;
        return;
    }
    if (known == held_.end()) {
        held_[key] = event.crc;
        if (event.event.kind == protocol::EventKind::reading) readings_.push_back(event.event);
        if (on_event) on_event(event);
    }
    LineWriter ack("ACK");
    ack.add_hex("id", event.id, sizeof event.id).add_count("ep", event.event.epoch);
    ack.add_count("n", event.event.number).add_hex("rec", event.crc);
    send(ack);
}

void HostModel::use(std::vector<uint8_t> profile) {
    profile_ = std::move(profile);
    in_force_ = false;
    if (greeted_) send_piece(0);
}

void HostModel::hold_what(const HostModel& other) {
    held_ = other.held_;
    readings_ = other.readings_;
}

void HostModel::tend() {
    if (!greeted_) return;
    ping();
    if (busy_) send_piece(0);
    busy_ = false;
}

void HostModel::ping() {
    waiting_ = -1;
    LineWriter line("PING");
    line.add_count("n", ++pings_);
    send(line);
}

}  // namespace pairmark::sim
