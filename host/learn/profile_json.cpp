#include "host/learn/profile_json.hpp"

#include "host/learn/items.hpp"
#include "protocol/profile.hpp"
#include "protocol/profile_items.hpp"

namespace pairmark::learn {

using namespace protocol;
using Json = nlohmann::ordered_json;

namespace {

void put_serial(const Place& serial, Bytes& bytes) {
    serial.only({"baud", "data_bits", "parity", "stop_bits"});
    const unsigned baud = serial["baud"].whole(1200, 115200);
    if (baud % profile_baud_unit != 0) serial["baud"].expected("a multiple of 1200");
    const unsigned data_bits = serial["data_bits"].whole(7, 8);
    const unsigned parity = serial["parity"].word({{"none", 0}, {"even", 1}, {"odd", 2}});
    const unsigned stop_bits = serial["stop_bits"].whole(1, 2);
    bytes.push_back(static_cast<std::uint8_t>(baud / profile_baud_unit));
    bytes.push_back(
        static_cast<std::uint8_t>((data_bits == 7 ? 1U : 0U) | (parity << 1) | (stop_bits == 2 ? 8U : 0U)));
}

void put_frame(const Place& frame, Bytes& bytes) {
    frame.only({"by", "silence_ms", "length", "terminator", "start"});
    const auto by =
        static_cast<FrameBy>(frame["by"].word({{"silence", static_cast<unsigned>(FrameBy::idle)},
                                               {"terminator", static_cast<unsigned>(FrameBy::terminator)},
                                               {"length", static_cast<unsigned>(FrameBy::length)}}));
    if (by != FrameBy::length && frame.has("length")) frame["length"].refuse("only with \"by\": \"length\"");
    if (by != FrameBy::terminator && frame.has("terminator"))
        frame["terminator"].refuse("only with \"by\": \"terminator\"");
    bytes.push_back(static_cast<std::uint8_t>(by));
    put_u16(bytes, frame["silence_ms"].whole(2, 10000));
    put_u16(bytes, by == FrameBy::length ? frame["length"].whole(1, max_capture) : 0);
    Bytes terminator;
    if (by == FrameBy::terminator) terminator = frame["terminator"].bytes(1, 4);
    bytes.push_back(static_cast<std::uint8_t>(terminator.size()));
    terminator.resize(4, 0);
    bytes.insert(bytes.end(), terminator.begin(), terminator.end());
    bytes.push_back(frame.has("start") ? frame["start"].bytes(1, 1)[0] : 0);
}

bool one_table_in(const Place& profile) {
    return profile.has("one_table") && profile["one_table"].yes_or_no();
}

Bytes header_of(const Place& profile) {
    profile.only({"profile", "name", "serial", "frame", "one_table", "step", "axis_0_means_180", "shapes"});
    profile["profile"].whole(profile_version, profile_version);
    if (profile.has("name") && !profile["name"].json().is_string()) profile["name"].expected("a string");
    (void)one_table_in(profile);
    unsigned flags = 0;
    if (profile.has("axis_0_means_180") && profile["axis_0_means_180"].yes_or_no())
        flags |= profile_flag_zero_axis_is_180;
    const Place frame = profile["frame"];
    if (frame.has("start")) flags |= profile_flag_start_byte;
    Bytes bytes{profile_version, static_cast<std::uint8_t>(flags)};
    put_serial(profile["serial"], bytes);
    bytes.push_back(static_cast<std::uint8_t>(
        profile["step"].word({{"quarter", static_cast<unsigned>(StepCode::quarter)},
                              {"eighth", static_cast<unsigned>(StepCode::eighth)},
                              {"hundredth", static_cast<unsigned>(StepCode::hundredth)}})));
    put_frame(frame, bytes);
    return bytes;
}

Bytes shape_of(const Place& shape) {
    shape.only({"says", "items"});
    const unsigned flags = shape["says"].word({{"reading", 0}, {"no_reading", shape_flag_no_reading}});
    const Bytes items = items_from_json(shape["items"]);
    Bytes bytes{static_cast<std::uint8_t>(flags)};
    put_u16(bytes, static_cast<unsigned>(items.size()));
    bytes.insert(bytes.end(), items.begin(), items.end());
    return bytes;
}

// What the adapter's own check says of a profile that has this one shape only: so that the complaint has a
// place.
void check_alone(const Place& place, Bytes header, const Bytes& shape) {
    header.push_back(1);
    header.insert(header.end(), shape.begin(), shape.end());
    const char* why = "";
    std::size_t at = 0;
    if (!Profile().open(header.data(), header.size(), why, at))
        place.refuse(std::string("the adapter would refuse it: ") + why + " (byte " + std::to_string(at) +
                     " of its compact form)");
}

Json frame_to_json(const Framing& framing) {
    Json frame;
    switch (framing.by) {
        case FrameBy::idle:
            frame["by"] = "silence";
            break;
        case FrameBy::terminator:
            frame["by"] = "terminator";
            frame["terminator"] = text_of({framing.terminator, framing.terminator_size});
            break;
        case FrameBy::length:
            frame["by"] = "length";
            frame["length"] = framing.length;
            break;
    }
    frame["silence_ms"] = framing.idle_ms;
    if (framing.has_start) frame["start"] = text_of({&framing.start, 1});
    return frame;
}

std::string_view word_of(StepCode step) {
    if (step == StepCode::quarter) return "quarter";
    return step == StepCode::eighth ? "eighth" : "hundredth";
}

}  // namespace

Bytes compact_from_json(const Json& json) {
    const Place profile(json, "");
    Bytes bytes = header_of(profile);
    const Bytes header = bytes;
    const std::vector<Place> shapes = profile["shapes"].elements();
    if (shapes.empty() || shapes.size() > max_shapes)
        profile["shapes"].refuse("expected 1 to " + std::to_string(max_shapes) + " shapes");
    bytes.push_back(static_cast<std::uint8_t>(shapes.size()));
    for (const Place& place : shapes) {
        const Bytes shape = shape_of(place);
        check_alone(place, header, shape);
        bytes.insert(bytes.end(), shape.begin(), shape.end());
        if (bytes.size() > max_profile)
            place.refuse("the compact form is longer than the adapter's " + std::to_string(max_profile) +
                         " bytes");
    }
    return bytes;
}

namespace {

Json parsed(std::string_view text) {
    try {
        return Json::parse(text);
    } catch (const Json::exception& error) {
        throw BadProfile(std::string("profile: not JSON: ") + error.what());
    }
}

}  // namespace

Bytes compact_profile(std::string_view text) {
    return compact_from_json(parsed(text));
}

bool measures_on_one_table(std::string_view text) {
    const Json json = parsed(text);
    return one_table_in(Place(json, ""));
}

Json profile_to_json(std::span<const std::uint8_t> compact) {
    Profile profile;
    const char* why = "";
    std::size_t at = 0;
    if (!profile.open(compact.data(), compact.size(), why, at))
        throw BadProfile("compact profile, byte " + std::to_string(at) + ": " + why);
    const SerialSettings& serial = profile.serial();
    Json json{{"profile", profile_version}};
    json["serial"] = {{"baud", serial.baud},
                      {"data_bits", serial.data_bits},
                      {"parity", serial.parity == 'N'   ? "none"
                                 : serial.parity == 'E' ? "even"
                                                        : "odd"},
                      {"stop_bits", serial.stop_bits}};
    json["frame"] = frame_to_json(profile.framing());
    json["step"] = word_of(profile.step());
    json["axis_0_means_180"] = profile.zero_axis_is_180();
    json["shapes"] = Json::array();
    for (at = profile.shapes_at(); at < compact.size();) {
        const bool no_reading = (compact[at] & shape_flag_no_reading) != 0;
        const std::size_t length = profile_u16(&compact[at + 1]);
        at += shape_header_size;
        json["shapes"].push_back({{"says", no_reading ? "no_reading" : "reading"},
                                  {"items", items_to_json(compact.subspan(at, length))}});
        at += length;
    }
    return json;
}

}  // namespace pairmark::learn
