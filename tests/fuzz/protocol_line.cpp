// Any bytes as a stream of lines: invariants L1 to L5 of protocol/SPEC.md.
#include <cstdint>
#include <cstdio>
#include <string>
#include <string_view>

#include "protocol/crc32.hpp"
#include "protocol/event_record.hpp"
#include "protocol/line.hpp"
#include "tests/fuzz/require.hpp"

using namespace pairmark::protocol;
using pairmark::fuzz::require;

namespace {

bool lies_inside(Text inner, Text outer) {
    return inner.size == 0 ||
           (inner.data >= outer.data && inner.data + inner.size <= outer.data + outer.size);
}

void check_event(const Line& line) {
    EventLine event;
    const char* fault = "";
    if (!read_event(line, event, fault)) {
        require(fault != nullptr && *fault != 0, "L5: a refused EVENT names the key");
        return;
    }
    require(in_range(event.event), "L5: an EVENT's fields lie in their ranges");
    LineWriter writer("EVENT");
    const Text again = write_event(writer, event.id, event.event, event.crc, event.age_known, event.age_ms);
    require(again.size > 0, "an EVENT that was read can be written");
    std::uint8_t record[record_size];
    EventFields read;
    std::uint32_t crc = 0;
    pack_record(event.event, record);
    require(unpack_record(record, read, crc), "an EVENT that was read can be kept as a record");
}

void check_line(const LineReader& reader) {
    const Text raw = reader.raw();
    const std::string_view text(raw.data, raw.size);
    require(raw.size + 2 <= max_line, "L1: no line is longer than max_line");
    require(text.find_first_of("!\r\n") == std::string_view::npos, "a line is printable");
    require(text.rfind('@') == 0, "L3: '@' stands nowhere inside a line");
    const std::size_t star = raw.size - 9;
    const std::string digits(text.substr(star + 1));
    require(text[star] == '*' && crc32(raw.data, star) == std::stoul(digits, nullptr, 16),
            "L2: the CRC is right");
    const Line& line = reader.line();
    require(line.kind().size > 0 && lies_inside(line.kind(), raw), "L4: the kind lies inside the line");
    for (const char* key : {"n", "id", "hex", "why", "x", "a2"}) {
        Text value{nullptr, 0};
        std::int32_t number = 0;
        std::uint32_t count = 0;
        std::uint8_t bytes[16];
        std::size_t size = 0;
        if (line.get(key, value)) require(lies_inside(value, raw), "L4: a value lies inside the line");
        line.get_number(key, number);
        line.get_count(key, count);
        line.get_hex(key, count);
        if (line.get_hex(key, bytes, sizeof bytes, size))
            require(size <= sizeof bytes, "L4: hex fits its buffer");
    }
    check_event(line);
}

}  // namespace

// The first byte says whether line ends get a right CRC put before them, so that what lies behind the CRC is
// reached too.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    std::string stream(reinterpret_cast<const char*>(data + 1), size - 1);
    if ((data[0] & 1) != 0) {
        const std::string body = stream.substr(0, max_line) + " ";
        char crc[12];
        std::snprintf(crc, sizeof crc, "*%08X\r\n", static_cast<unsigned>(crc32(body.data(), body.size())));
        stream = body + crc;
    }
    LineReader reader;
    for (const char c : stream) {
        const LineReader::Found found = reader.take(static_cast<std::uint8_t>(c));
        if (found == LineReader::Found::line) check_line(reader);
        if (found == LineReader::Found::fault)
            require(reader.fault() != LineFault::none, "a fault has a name");
    }
    require(reader.raw().size <= max_line, "L1: what was refused is cut at max_line");
    // L3: whatever came, the next whole line is read.
    LineReader::Found last = LineReader::Found::nothing;
    for (const char c : std::string_view("@PING *9EC72A73\r\n"))
        last = reader.take(static_cast<std::uint8_t>(c));
    require(last == LineReader::Found::line, "L3: the next whole line is read");
    return 0;
}
