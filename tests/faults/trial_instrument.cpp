#include "tests/faults/trial_instrument.hpp"

#include <cstdio>

#include "protocol/profile_items.hpp"

namespace pairmark::sim {

std::vector<uint8_t> trial_profile() {
    using namespace pairmark::protocol;
    const uint8_t power_form = 2 | point_dot;
    const std::vector<uint8_t> items = {item_word,
                                        quantity_eye,
                                        2,
                                        meaning_plus,
                                        1,
                                        'R',
                                        meaning_minus,
                                        1,
                                        'L',  //
                                        item_text,
                                        1,
                                        ' ',
                                        item_number,
                                        quantity_sphere,
                                        sign_always,
                                        power_form,
                                        0,
                                        5,
                                        6,  //
                                        item_text,
                                        1,
                                        ' ',
                                        item_number,
                                        quantity_cylinder,
                                        sign_always,
                                        power_form,
                                        0,
                                        5,
                                        6,  //
                                        item_text,
                                        1,
                                        ' ',
                                        item_number,
                                        quantity_axis,
                                        sign_none,
                                        form_zeros,
                                        0,
                                        3,
                                        3,  //
                                        item_text,
                                        2,
                                        '\r',
                                        '\n'};
    std::vector<uint8_t> profile = {1,  // version
                                    0,
                                    8,  // 9600 baud
                                    0,
                                    1,  // quarter steps
                                    2,  // ended by a terminator
                                    200,  0,
                                    0,    0,
                                    2,    '\r',
                                    '\n', 0,
                                    0,    0,
                                    1,  // one shape
                                    0,    static_cast<uint8_t>(items.size()),
                                    0};
    for (const uint8_t byte : items)
        profile.push_back(byte);
    return profile;
}

int trial_sphere(unsigned index) {
    return 25 * (static_cast<int>(index) - 24);
}

std::string trial_capture(unsigned index) {
    const int sphere = trial_sphere(index);
    const int size = sphere < 0 ? -sphere : sphere;
    char text[40];
    std::snprintf(text, sizeof text, "%c %c%d.%02d -0.50 %03u\r\n", index % 2 ? 'L' : 'R',
                  sphere < 0 ? '-' : '+', size / 100, size % 100, index + 1);
    return text;
}

}  // namespace pairmark::sim
