// What one way of reading a capture said, before it is judged as a whole. Inside `protocol` only.
#pragma once

#include <stdint.h>

#include "protocol/profile.hpp"
#include "protocol/profile_items.hpp"

namespace pairmark {
namespace protocol {

class Values {
  public:
    Values();
    /// A number for a target; one that was said before must be the same.
    void set(uint8_t target, int16_t value);
    /// A word for a target: an eye, or a sign.
    void say(uint8_t target, uint8_t meaning);
    /// The lenses, in order and in range; or a refusal that says why not.
    Decoded resolve(bool zero_axis_is_180) const;

  private:
    struct Side {
        int16_t value[quantity_centres];
        uint8_t has;     // a bit a quantity
        uint8_t spoken;  // a word of sign stood
        uint8_t sign[quantity_centres];
        EyeCode eye;
    };
    const char* resolve_lens(const Side& side, bool zero_axis_is_180, LensFields& lens) const;

    Side side_[2];
    int16_t centres_ = 0;
    bool has_centres_ = false;
    bool conflict_ = false;
};

/// True if two results of `decode` say the same.
bool is_same(const Decoded& a, const Decoded& b);

}  // namespace protocol
}  // namespace pairmark
