#include "tests/slips/instrument.hpp"

#include <array>
#include <cstdint>
#include <cstdio>
#include <stdexcept>
#include <string>
#include <vector>

#include "host/learn/profile_json.hpp"
#include "protocol/profile.hpp"

namespace pairmark::slips {
namespace {

constexpr const char* quarters = R"({"profile": 1,
    "serial": {"baud": 9600, "data_bits": 8, "parity": "none", "stop_bits": 1},
    "frame": {"by": "terminator", "terminator": "\r\n", "silence_ms": 200},
    "step": "quarter",
    "shapes": [{"says": "reading", "items": [
        {"word": "eye", "right": "r", "left": "l"},
        " s", {"number": "sphere", "sign": "always", "width": [5, 6], "decimals": 2, "point": "."},
        " c", {"number": "cylinder", "sign": "always", "width": [5, 6], "decimals": 2, "point": "."},
        " a", {"number": "axis", "width": 3, "padding": ["zeros"]}, "\r\n"]}]})";

}  // namespace

std::optional<record::LensReading> heard_in_quarters(Eye eye, const Power& on_the_screen) {
    static const std::vector<std::uint8_t> compact = learn::compact_profile(quarters);
    protocol::Profile profile;
    const char* why = "";
    std::size_t at = 0;
    if (!profile.open(compact.data(), compact.size(), why, at)) throw std::logic_error(why);

    const auto hundredths = [](Dioptre power) {
        return static_cast<double>(power.in_millionths() / 10'000) / 100;
    };
    std::array<char, 64> text{};
    const int size =
        std::snprintf(text.data(), text.size(), "%c s%+.2f c%+.2f a%03d\r\n", eye == Eye::right ? 'r' : 'l',
                      hundredths(on_the_screen.sphere), hundredths(on_the_screen.cylinder),
                      static_cast<int>(std::lround(on_the_screen.axis)));
    const std::string capture(text.data(), static_cast<std::size_t>(size));
    const protocol::Decoded decoded =
        protocol::decode(profile, reinterpret_cast<const std::uint8_t*>(capture.data()), capture.size());
    if (decoded.outcome != protocol::Decoded::Outcome::reading || decoded.lens_count != 1) return {};
    const protocol::LensFields& lens = decoded.lens[0];
    return record::LensReading{eye,
                               {Dioptre::hundredths(lens.sphere), Dioptre::hundredths(lens.cylinder),
                                static_cast<double>(lens.axis)},
                               {},
                               {}};
}

}  // namespace pairmark::slips
