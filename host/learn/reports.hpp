// What an instrument reports beside the powers, by its profile.
#pragma once

#include <string_view>

namespace pairmark::learn {

struct Reports {
    bool addition = false;
    bool prism = false;  // horizontal and vertical
    bool centres = false;
};

/// What any of the profile's readings holds. Throws BadProfile.
Reports reports_of(std::string_view profile_text);

}  // namespace pairmark::learn
