#include <algorithm>
#include <catch2/catch.hpp>
#include <cstring>

#include "protocol/event_record.hpp"
#include "tests/protocol/files.hpp"

using namespace pairmark::protocol;
using namespace pairmark::protocol::testing;

namespace {

struct Record {
    explicit Record(const Json& hex) {
        const Bytes from = from_hex(hex.get<std::string>());
        REQUIRE(from.size() == record_size);
        std::memcpy(bytes, from.data(), record_size);
    }
    std::uint8_t bytes[record_size];
};

std::string line_of(const EventFields& event, const Json& row, std::uint32_t crc) {
    std::uint8_t id[8];
    const Bytes from = from_hex(row["id"].get<std::string>());
    std::memcpy(id, from.data(), sizeof id);
    LineWriter writer("EVENT");
    const bool age_known = !row["age_ms"].is_null();
    return string_of(
        write_event(writer, id, event, crc, age_known, age_known ? row["age_ms"].get<std::uint32_t>() : 0));
}

// An event's fields that travel, as bytes: equal bytes, equal events.
Bytes travelling(EventFields event) {
    event.boot = 0;
    event.captured_ms = 0;
    std::uint8_t bytes[record_size];
    pack_record(event, bytes);
    return {bytes, bytes + record_size};
}

}  // namespace

TEST_CASE("Every golden record is read, written back alike, and gives its EVENT line") {
    const Json vectors = read_vectors("records.json");
    REQUIRE(vectors["good"].size() >= 6);
    for (const Json& row : vectors["good"]) {
        INFO(row["name"]);
        const Record record(row["record"]);
        EventFields event;
        std::uint32_t crc = 0;
        REQUIRE(unpack_record(record.bytes, event, crc));
        CHECK(hex8(crc) == row["crc"]);
        std::uint8_t again[record_size];
        CHECK(pack_record(event, again) == crc);
        CHECK(std::memcmp(again, record.bytes, record_size) == 0);
        CHECK(line_of(event, row, crc) == row["line"].get<std::string>() + "\r\n");
    }
}

TEST_CASE("Every golden EVENT line is read to the record's fields") {
    const Json vectors = read_vectors("records.json");
    for (const Json& row : vectors["good"]) {
        INFO(row["name"]);
        const Record record(row["record"]);
        EventFields event;
        std::uint32_t crc = 0;
        REQUIRE(unpack_record(record.bytes, event, crc));
        const auto bytes = row["line"].get<std::string>();
        Line line;
        REQUIRE(parse_line(text_of(bytes), line) == LineFault::none);
        EventLine read;
        const char* fault = "";
        REQUIRE(read_event(line, read, fault));
        CHECK(fault == nullptr);
        CHECK(travelling(read.event) == travelling(event));
        CHECK(read.event.boot == 0);
        CHECK(read.event.captured_ms == 0);
        CHECK(hex8(read.crc) == row["crc"]);
        CHECK(read.age_known == !row["age_ms"].is_null());
        if (read.age_known) CHECK(read.age_ms == row["age_ms"]);
        CHECK(to_hex({read.id, read.id + 8}) == row["id"]);
    }
}

TEST_CASE("No bad golden record is read, and nothing of it is handed out") {
    const Json vectors = read_vectors("records.json");
    REQUIRE(vectors["bad"].size() >= 20);
    for (const Json& row : vectors["bad"]) {
        INFO(row["name"]);
        const Record record(row["record"]);
        EventFields event;
        event.number = 4711;
        std::uint32_t crc = 0;
        CHECK_FALSE(unpack_record(record.bytes, event, crc));
        CHECK(event.number == 4711);
    }
}

TEST_CASE(
    "A record with any one bit flipped is refused, and the cue and acknowledgement bytes change nothing") {
    const Json vectors = read_vectors("records.json");
    for (const Json& row : vectors["good"]) {
        Record record(row["record"]);
        EventFields event;
        std::uint32_t crc = 0;
        for (std::size_t bit = 0; bit < 8 * record_size; ++bit) {
            const std::size_t byte = bit / 8;
            record.bytes[byte] = static_cast<std::uint8_t>(record.bytes[byte] ^ (1U << (bit % 8)));
            const bool outside = byte == record_cue_at || byte == record_acked_at;
            if (unpack_record(record.bytes, event, crc) != outside) FAIL_CHECK("bit " << bit);
            record.bytes[byte] = static_cast<std::uint8_t>(record.bytes[byte] ^ (1U << (bit % 8)));
        }
        CHECK(unpack_record(record.bytes, event, crc));
    }
}

TEST_CASE("The longest EVENT line fits: every field at its longest, 232 bytes of 240") {
    EventFields event;
    event.number = 4294967295U;
    event.epoch = 65535;
    event.first_after_reset = true;
    event.lens_count = 2;
    event.has_centres = true;
    event.centres = max_centres;
    for (LensFields& lens : event.lens) {
        lens.sphere = -max_sphere;
        lens.cylinder = -max_cylinder;
        lens.axis = 180;
        lens.has_addition = true;
        lens.addition = max_addition;
        lens.has_prism = true;
        lens.horizontal_prism = -max_prism;
        lens.vertical_prism = -max_prism;
    }
    event.lens[0].eye = EyeCode::right;
    event.lens[1].eye = EyeCode::left;
    const std::uint8_t id[8] = {255, 255, 255, 255, 255, 255, 255, 255};
    std::size_t longest = 0;
    for (const StepCode step : {StepCode::quarter, StepCode::eighth, StepCode::hundredth}) {
        event.step = step;
        REQUIRE(in_range(event));
        LineWriter writer("EVENT");
        const std::size_t size = write_event(writer, id, event, 0xFFFFFFFFU, true, 4294967295U).size;
        REQUIRE(size > 0);
        longest = std::max(longest, size);
    }
    CHECK(longest == 232);
    CHECK(longest <= max_line);
}
