// What an adapter says, for the tests: events as fields, and whole lines.
#pragma once

#include <initializer_list>
#include <string>

#include "protocol/event_record.hpp"
#include "protocol/line.hpp"

namespace pairmark::tests {

inline constexpr const char* adapter_id = "00112233AABBCCDD";

/// Powers in hundredths of a dioptre.
inline protocol::LensFields lens(protocol::EyeCode eye, int sphere, int cylinder = 0, int axis = 0) {
    protocol::LensFields fields;
    fields.eye = eye;
    fields.sphere = static_cast<std::int16_t>(sphere);
    fields.cylinder = static_cast<std::int16_t>(cylinder);
    fields.axis = static_cast<std::uint8_t>(axis);
    return fields;
}
inline protocol::LensFields right_lens(int sphere, int cylinder = 0, int axis = 0) {
    return lens(protocol::EyeCode::right, sphere, cylinder, axis);
}
inline protocol::LensFields left_lens(int sphere, int cylinder = 0, int axis = 0) {
    return lens(protocol::EyeCode::left, sphere, cylinder, axis);
}
inline protocol::LensFields with_addition(protocol::LensFields fields, int addition) {
    fields.has_addition = true;
    fields.addition = static_cast<std::int16_t>(addition);
    return fields;
}

inline protocol::EventLine finished(protocol::EventFields fields) {
    static constexpr std::uint8_t id[8] = {0x00, 0x11, 0x22, 0x33, 0xAA, 0xBB, 0xCC, 0xDD};
    protocol::EventLine line;
    std::copy(std::begin(id), std::end(id), std::begin(line.id));
    std::uint8_t record[protocol::record_size];
    line.crc = protocol::pack_record(fields, record);
    line.age_known = true;
    line.age_ms = 120;
    line.event = fields;
    return line;
}

/// A fresh reading of one lens or of both.
inline protocol::EventLine reading(std::uint32_t number, std::initializer_list<protocol::LensFields> lenses,
                                   protocol::StepCode step = protocol::StepCode::quarter) {
    protocol::EventFields fields;
    fields.number = number;
    fields.epoch = 1;
    fields.step = step;
    for (const protocol::LensFields& one : lenses)
        fields.lens[fields.lens_count++] = one;
    return finished(fields);
}

inline protocol::EventLine key_press(std::uint32_t number, protocol::Key key, bool long_press = false) {
    protocol::EventFields fields;
    fields.number = number;
    fields.epoch = 1;
    fields.kind = protocol::EventKind::key;
    fields.key = key;
    fields.long_press = long_press;
    return finished(fields);
}

inline std::string text_of(protocol::LineWriter& writer) {
    const protocol::Text text = writer.finish();
    return {text.data, text.size};
}

inline std::string hello(const char* id = adapter_id, std::uint32_t boot = 3, const char* store = "none") {
    protocol::LineWriter line("HELLO");
    line.add_count("proto", 1).add("fw", "0.1.0").add("board", "bench").add("id", id).add_count("ep", 1);
    line.add_count("boot", boot).add("why", "power").add_count("buf", 256).add_count("wait", 0);
    line.add_count("next", 1).add("store", store).add_count("acked", 0).add("prof", "none");
    return text_of(line);
}

inline std::string ready(const char* profile = "none", const char* id = adapter_id) {
    protocol::LineWriter line("READY");
    line.add("id", id).add_count("ep", 1).add_count("next", 1).add_count("wait", 0).add("prof", profile);
    return text_of(line);
}

inline std::string event_text(const protocol::EventLine& event) {
    protocol::LineWriter line("EVENT");
    const protocol::Text text =
        protocol::write_event(line, event.id, event.event, event.crc, event.age_known, event.age_ms);
    return {text.data, text.size};
}

inline std::string answer_text(const char* kind, const char* key, std::uint32_t value) {
    protocol::LineWriter line(kind);
    line.add_count(key, value);
    return text_of(line);
}

}  // namespace pairmark::tests
