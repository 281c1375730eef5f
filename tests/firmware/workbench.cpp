#include "tests/firmware/workbench.hpp"

#include <cstdio>
#include <cstdlib>

namespace pairmark::firmware::testing {

std::string bytes_of(std::string_view hex) {
    std::string bytes;
    for (std::size_t i = 0; i + 1 < hex.size(); i += 2) {
        bytes += static_cast<char>(std::stoul(std::string(hex.substr(i, 2)), nullptr, 16));
    }
    return bytes;
}

std::string hex_of(std::string_view bytes) {
    std::string hex;
    for (const char byte : bytes) {
        char digits[3];
        std::snprintf(digits, sizeof digits, "%02X", static_cast<unsigned>(static_cast<unsigned char>(byte)));
        hex += digits;
    }
    return hex;
}

std::string signed_line(const std::string& body) {
    const std::string before = body + " ";
    char end[12];
    std::snprintf(end, sizeof end, "*%08X\r\n",
                  static_cast<unsigned>(protocol::crc32(before.data(), before.size())));
    return before + end;
}

std::string print_lens(char eye, int sphere, int cylinder, int axis) {
    char text[64];
    std::snprintf(text, sizeof text, "%c= %+06.2f & %+06.2f @ %03d ", eye, sphere / 100.0, cylinder / 100.0,
                  axis);
    unsigned sum = 0;
    for (const char* c = text; *c != 0; ++c)
        sum ^= static_cast<unsigned char>(*c);
    char end[8];
    std::snprintf(end, sizeof end, "~%02X\r\n", sum);
    return std::string(text) + end;
}

std::string Said::value(const char* key) const {
    protocol::Line line;
    if (protocol::parse_line({text.data(), text.size()}, line) != protocol::LineFault::none)
        return "(unreadable)";
    protocol::Text value{nullptr, 0};
    if (!line.get(key, value)) return "(absent)";
    return {value.data, value.size};
}

void Workbench::power_on(ResetCause cause) {
    board = std::make_unique<NativeBoard>(eeprom, cause);
    adapter = std::make_unique<Adapter>(*board);
    adapter->start();
}

void Workbench::pass(std::uint32_t ms) {
    for (std::uint32_t i = 0; i < ms; ++i) {
        for (int more = 0; adapter->step(); ++more) {
            if (more > 1000) FAIL("the adapter never comes to rest");
            if (board->is_dead()) return;
        }
        if (board->is_dead()) return;
        for (std::size_t place = 0; place < cue_count; ++place) {
            if ((board->lamps() >> place & 1) != 0) lit_[place] = true;
        }
        board->pass(1);
    }
}

std::vector<Said> Workbench::hear() {
    std::vector<Said> said;
    const std::string all = board->host_reads();
    std::size_t at = 0;
    while (at < all.size()) {
        const std::size_t end = all.find("\r\n", at);
        if (end == std::string::npos) FAIL("a line without its end: " << all.substr(at));
        Said one{all.substr(at, end - at), ""};
        protocol::Line line;
        const protocol::LineFault fault = protocol::parse_line({one.text.data(), one.text.size()}, line);
        if (fault != protocol::LineFault::none) FAIL("a bad line: " << one.text);
        one.kind.assign(line.kind().data, line.kind().size);
        said.push_back(one);
        at = end + 2;
    }
    return said;
}

std::vector<Said> Workbench::hear(const std::string& kind, std::uint32_t ms) {
    pass(ms);
    std::vector<Said> found;
    for (Said& one : hear()) {
        if (one.kind == kind) found.push_back(std::move(one));
    }
    return found;
}

void Workbench::greet(const std::string& more) {
    say("@GREET proto=1 store=" + our_store + " acked=0" + more);
}

void Workbench::set_up() {
    pass(1000);
    greet(" give=" + our_id);
    pass(1000);
    greet();
    pass(1000);
    hear();
    const std::string compact = bytes_of(demo_profile);
    const Said answer = upload(compact, protocol::crc32(compact.data(), compact.size()));
    REQUIRE(answer.kind == "DONE");
    REQUIRE(adapter->profile().is_open());
}

Said Workbench::upload(const std::string& compact, std::uint32_t crc) {
    for (std::size_t at = 0; at < compact.size(); at += 64) {
        say("@PART at=" + std::to_string(at) + " of=" + std::to_string(compact.size()) +
            " hex=" + hex_of(std::string_view(compact).substr(at, 64)));
        pass(1000);
        const std::vector<Said> answers = hear();
        REQUIRE(answers.size() == 1);
        REQUIRE(answers[0].kind == "TOOK");
        REQUIRE(answers[0].value("at") == std::to_string(at));
    }
    char body[64];
    std::snprintf(body, sizeof body, "@COMMIT len=%zu crc=%08X", compact.size(), static_cast<unsigned>(crc));
    say(body);
    pass(1000);
    const std::vector<Said> answers = hear();
    REQUIRE(answers.size() == 1);
    return answers[0];
}

void Workbench::measure(const std::string& capture) {
    board->instrument_writes(capture);
    pass(600);
}

Said Workbench::refuse(const std::string& capture) {
    forget_lamps();
    board->instrument_writes(capture);
    const std::vector<Said> refused = hear("REFUSED", 600);
    REQUIRE(refused.size() == 1);
    CHECK(lamp_was_lit(Cue::refused));
    CHECK_FALSE(lamp_was_lit(Cue::accepted));
    return refused[0];
}

void Workbench::acknowledge(const Said& event) {
    say("@ACK id=" + event.value("id") + " ep=" + event.value("ep") + " n=" + event.value("n") +
        " rec=" + event.value("rec"));
}

bool Workbench::settings_are_sound() {
    Settings settings{};
    NativeBoard reader(eeprom);
    if (settings.load(reader) != 0) return false;
    std::string id;
    for (const std::uint8_t byte : settings.values().id)
        id += static_cast<char>(byte);
    return settings.values().has_id && hex_of(id) == our_id;
}

std::vector<Said> Workbench::take_events(std::uint32_t ms) {
    std::vector<Said> events;
    for (std::uint32_t passed = 0; passed < ms && !board->is_dead(); passed += 20) {
        for (const Said& one : hear("EVENT", 20)) {
            acknowledge(one);
            // The same event may have been sent more than once before anybody listened.
            if (events.empty() || events.back().value("rec") != one.value("rec")) events.push_back(one);
        }
    }
    return events;
}

}  // namespace pairmark::firmware::testing
