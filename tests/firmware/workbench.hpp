// An adapter on the native board with somebody at every cable: the tests' instrument, host, fingers and power
// switch.
#pragma once

#include <array>
#include <catch2/catch.hpp>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "firmware/board/native/native_board.hpp"
#include "firmware/core/adapter.hpp"
#include "protocol/crc32.hpp"
#include "protocol/line.hpp"

namespace pairmark::firmware::testing {

inline const std::string our_id = "0123456789ABCDEF";
inline const std::string our_store = "FEDCBA9876543210";

/// The compact form of a small profile: "R= -01.25 & +00.50 @ 085 ~31<CR><LF>", 9600 8N1, ended by CR LF,
/// with an XOR check sum (the profile "demo" of protocol/vectors/captures.json).
inline const std::string demo_profile =
    "010108000302C8000000020D0A0000000100400002070201015202014C01023D2003000146000606010320262003010146000606"
    "0103204020"
    "030200400003030102207E05010800000100000000000001020D0A";

std::string bytes_of(std::string_view hex);
std::string hex_of(std::string_view bytes);
/// A line with its check sum and line end.
std::string signed_line(const std::string& body);
/// One reading as the demo profile's instrument prints it: hundredths of a dioptre, whole degrees.
std::string print_lens(char eye, int sphere, int cylinder, int axis);

/// One line that the adapter sent.
struct Said {
    std::string text;  // without CR LF
    std::string kind;
    /// The value of a key; "(absent)" if there is none.
    std::string value(const char* key) const;
};

class Workbench {
  public:
    explicit Workbench(std::uint32_t seed = 1) : eeprom(seed) { power_on(); }

    /// Boots with the memory as it is.
    void power_on(ResetCause cause = ResetCause::power);
    /// Lets time pass; stops early when the power was cut.
    void pass(std::uint32_t ms);

    /// The host's words, signed.
    void say(const std::string& body) { board->host_writes(signed_line(body)); }
    /// What the adapter sent since the last call; each line must be whole and rightly signed.
    std::vector<Said> hear();
    /// Lets time pass, and gives the lines of that kind that came meanwhile.
    std::vector<Said> hear(const std::string& kind, std::uint32_t ms = 50);

    void greet(const std::string& more = "");
    /// From a blank memory to a greeted adapter with an id and the demo profile.
    void set_up();
    /// Puts a profile in force, in pieces; the last answer.
    Said upload(const std::string& compact, std::uint32_t crc);
    /// Prints a capture and lets it come to rest.
    void measure(const std::string& capture);
    /// Prints a capture that must be refused, with its lamp and no other; what was said of it.
    Said refuse(const std::string& capture);
    void acknowledge(const Said& event);
    /// Takes every event that comes within some seconds; acknowledges each.
    std::vector<Said> take_events(std::uint32_t ms = 3000);

    /// The id is ours and both settings slots are whole.
    bool settings_are_sound();

    bool lamp_was_lit(Cue cue) const { return lit_[static_cast<std::size_t>(cue)]; }
    void forget_lamps() { lit_.fill(false); }

    NativeEeprom eeprom;
    std::unique_ptr<NativeBoard> board;
    std::unique_ptr<Adapter> adapter;

  private:
    std::array<bool, cue_count> lit_{};
};

}  // namespace pairmark::firmware::testing
