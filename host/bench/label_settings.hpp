// What a programme wants on its labels, and on what paper: the configuration's "label".
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "host/bench/members.hpp"
#include "host/record/label.hpp"

namespace pairmark::bench {

/// The facts that stand on a label only where the programme asks for them.
struct LabelWishes {
    bool frame_size = false;
    bool wearer = false;
    bool style = false;
    bool rim = false;
    bool lens_type = false;  // single vision, where it is; an addition's kind stands there in any case
    std::string extra;       // a line of the programme's own
    friend bool operator==(const LabelWishes&, const LabelWishes&) = default;
};

struct LabelSettings {
    record::LabelPaper paper;
    LabelWishes wishes;
    friend bool operator==(const LabelSettings&, const LabelSettings&) = default;
};

/// The sizes between which a label may be, mm.
struct SizeLimits {
    double least_width, least_height, most_width, most_height;
    std::string expected() const;  // for people
};
inline constexpr SizeLimits envelope_label{40, 20, 100, 60};
inline constexpr SizeLimits spectacles_label{30, 12, 100, 60};

/// "60x40", "57.5x32": width x height in whole or half millimetres. Nullopt if it is none or beyond the
/// limits.
std::optional<record::LabelSize> size_from(std::string_view text, const SizeLimits& limits);
std::string text_of(const record::LabelSize& size);

/// The configuration's "label" object; mistakes are added to `mistakes`. And back.
LabelSettings read_label_settings(const nlohmann::json& object, std::string& mistakes);
nlohmann::json to_json(const LabelSettings& settings);

/// A label that says as much as any label of this programme can. Where it fits, no later pair is refused for
/// want of room.
struct TrialLabel {
    LabelSettings settings;
    std::string programme;
    std::string bench;
    std::vector<std::string> places;  // the longest that pairs are filed at
};
/// Nullopt if it can be made; else where in the configuration the mistake lies, and what was expected.
struct TrialFault {
    std::string place;
    std::string expected;
};
std::optional<TrialFault> fault_in_trial(const TrialLabel& trial);

}  // namespace pairmark::bench
