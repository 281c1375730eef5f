// Any bytes as a profile and a capture: invariants D1 to D5 of protocol/SPEC.md, and P1 and P3 of the JSON
// form. Input: length of the profile (two bytes, little end first), profile, capture.
#include <algorithm>
#include <cstdint>
#include <cstring>
#include <span>
#include <vector>

#include "host/learn/profile_json.hpp"
#include "protocol/profile.hpp"
#include "tests/fuzz/require.hpp"

using namespace pairmark;
using namespace pairmark::protocol;
using fuzz::require;

namespace {

bool is_alike(const Decoded& a, const Decoded& b) {
    if (a.outcome != b.outcome || a.lens_count != b.lens_count || a.has_centres != b.has_centres)
        return false;
    for (std::uint8_t i = 0; i < a.lens_count; ++i) {
        const LensFields& x = a.lens[i];
        const LensFields& y = b.lens[i];
        if (x.eye != y.eye || x.sphere != y.sphere || x.cylinder != y.cylinder || x.axis != y.axis ||
            x.addition != y.addition || x.has_addition != y.has_addition || x.has_prism != y.has_prism ||
            x.horizontal_prism != y.horizontal_prism || x.vertical_prism != y.vertical_prism)
            return false;
    }
    return a.centres == b.centres;
}

void check_said(const Decoded& said, std::size_t size) {
    require(said.why != nullptr, "a reason is never null");
    if (said.outcome == Decoded::Outcome::refused) {
        require(*said.why != 0, "a refusal has a reason");
        require(said.at <= size, "D1: the place lies inside the capture");
    }
    if (said.outcome != Decoded::Outcome::reading) return;
    EventFields event;
    event.number = 1;
    event.lens_count = said.lens_count;
    event.has_centres = said.has_centres;
    event.centres = said.centres;
    std::copy(std::begin(said.lens), std::end(said.lens), std::begin(event.lens));
    require(said.lens_count == 1 || said.lens_count == 2, "a reading has one lens or two");
    require(in_range(event), "D5: numbers lie in their ranges");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size < 2) return 0;
    const std::size_t profile_size = std::min<std::size_t>(data[0] | (data[1] << 8), size - 2);
    // Copies of their own, so that a sanitizer sees every byte read outside.
    const std::vector<std::uint8_t> bytes(data + 2, data + 2 + profile_size);
    const std::vector<std::uint8_t> capture(data + 2 + profile_size, data + size);
    Profile profile;
    const char* why = nullptr;
    std::size_t at = 0;
    if (!profile.open(bytes.data(), bytes.size(), why, at)) {
        require(!profile.is_open(), "a refused profile is not open");
        require(why != nullptr && *why != 0 && at <= bytes.size(),
                "a refused profile has a reason and a place");
        return 0;
    }
    const Decoded said = decode(profile, capture.data(), capture.size());
    check_said(said, capture.size());
    require(is_alike(said, decode(profile, capture.data(), capture.size())),
            "decoding depends on nothing else");

    // P3: every profile that opens has a JSON form that is a profile again; BadProfile here ends the program.
    const auto again = learn::compact_from_json(learn::profile_to_json(bytes));
    Profile other;
    require(other.open(again.data(), again.size(), why, at), "P1: what is compiled opens");
    const Decoded said_again = decode(other, capture.data(), capture.size());
    // JSON groups a word's alternatives by meaning; in another order the bound on the work may fall
    // elsewhere.
    const char* bound = "too many ways to read it";
    if (std::strcmp(said.why, bound) != 0 && std::strcmp(said_again.why, bound) != 0)
        require(is_alike(said, said_again), "P3: the JSON form reads every capture alike");
    return 0;
}
