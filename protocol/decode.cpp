// The interpreter: tries every way in which a shape can cut the capture, and takes the reading only if all
// agree.
#include <string.h>

#include "protocol/flash_text.hpp"
#include "protocol/profile.hpp"
#include "protocol/profile_items.hpp"
#include "protocol/values.hpp"

namespace pairmark {
namespace protocol {

bool is_in_class(uint8_t byte, uint8_t character_class) {
    const bool digit = byte >= '0' && byte <= '9';
    switch (character_class) {
        case class_digits:
            return digit;
        case class_hex_upper:
            return digit || (byte >= 'A' && byte <= 'F');
        case class_hex:
            return digit || (byte >= 'A' && byte <= 'F') || (byte >= 'a' && byte <= 'f');
        case class_digits_or_blanks:
            return digit || byte == ' ';
        case class_printable:
            return byte >= 0x20 && byte <= 0x7E;
        default:
            return true;
    }
}

namespace {

constexpr uint16_t step_limit = static_cast<uint16_t>(max_steps);

// A part of the shape that was tried at a place; `choice` counts its possibilities from 0.
struct Part {
    uint16_t item;
    uint16_t from;
    uint8_t choice;
};

class Matcher {
  public:
    Matcher(const Profile& profile, const uint8_t* capture, size_t size)
        : profile_(profile), bytes_(profile.bytes()), capture_(capture), size_(static_cast<uint16_t>(size)) {}

    Decoded run() {
        size_t at = profile_.shapes_at();
        while (at < profile_.size() && !is_over()) {
            no_reading_ = (bytes_[at] & shape_flag_no_reading) != 0;
            const size_t length = profile_u16(bytes_ + at + 1);
            at += shape_header_size;
            match(static_cast<uint16_t>(at), static_cast<uint16_t>(at + length));
            at += length;
        }
        if (steps_ > step_limit) return refusal(PAIRMARK_TEXT("too many ways to read it"), 0);
        if (ambiguous_) return refusal(PAIRMARK_TEXT("two readings fit"), 0);
        return found_any_ ? found_ : refusal(why_, furthest_);
    }

  private:
    static Decoded refusal(const char* why, size_t at) {
        Decoded refused;
        refused.why = why;
        refused.at = at;
        return refused;
    }

    bool is_over() const { return steps_ > step_limit || ambiguous_; }

    bool fail(const char* why, uint16_t at) {
        if (at > furthest_ || why_ == nullptr) {
            furthest_ = at;
            why_ = why;
        }
        return false;
    }

    // Walks the shape from `begin`; at a dead end or after a success, takes the last part's next possibility.
    void match(uint16_t begin, uint16_t end) {
        part_count_ = 0;
        item_ = begin;
        at_ = 0;
        bool forward = true;
        while (!is_over()) {
            if (forward && item_ == end) {
                if (at_ == size_)
                    keep();
                else
                    fail(PAIRMARK_TEXT("bytes left over"), at_);
                forward = false;
            }
            if (!forward) {
                if (!take_back()) return;
                forward = true;
                continue;
            }
            forward = step();
        }
    }

    bool step() {
        const uint8_t* item = bytes_ + item_;
        ++steps_;
        if (*item == item_text) {
            for (uint8_t i = 0; i < item[1]; ++i, ++at_, ++steps_)
                if (at_ == size_ || capture_[at_] != item[2 + i])
                    return fail(PAIRMARK_TEXT("other text expected"), at_);
            item_ = static_cast<uint16_t>(item_ + 2 + item[1]);
            return true;
        }
        if (*item == item_else) {
            item_ = static_cast<uint16_t>(item_ + branch_size + profile_u16(item + 1));
            return true;
        }
        // `open` has counted: a shape has max_parts parts at most, and none is walked twice.
        parts_[part_count_++] = Part{item_, at_, 0};
        if (attempt(parts_[part_count_ - 1])) return true;
        --part_count_;
        return false;
    }

    bool take_back() {
        while (part_count_ > 0) {
            Part& part = parts_[part_count_ - 1];
            if (part.choice != 255 && (++part.choice, attempt(part))) return true;
            if (is_over()) return false;
            --part_count_;
        }
        return false;
    }

    // Tries the part's possibilities from its present one on. True with item_ and at_ behind it; false if
    // none is left.
    bool attempt(Part& part) {
        const uint8_t* item = bytes_ + part.item;
        ++steps_;
        switch (*item) {
            case item_word:
                return attempt_word(item, part);
            case item_number:
                return attempt_number(item, part);
            case item_changing:
                return attempt_changing(item, part);
            case item_check_sum:
                return part.choice == 0 && attempt_check_sum(item, part);
            case item_either:
                if (part.choice > 1) return false;
                return go_on(part.item + branch_size + (part.choice == 0 ? 0 : profile_u16(item + 1)),
                             part.from);
            default:
                return part.choice == 0 && go_on(part.item + 1u, part.from);  // mark
        }
    }

    bool go_on(size_t item, size_t at) {
        item_ = static_cast<uint16_t>(item);
        at_ = static_cast<uint16_t>(at);
        return true;
    }

    size_t left(const Part& part) const { return static_cast<size_t>(size_) - part.from; }

    bool attempt_word(const uint8_t* item, Part& part) {
        const char* unused = "";
        const uint8_t* word = choice_of(item, part.choice);
        steps_ += part.choice;
        for (; part.choice < item[2]; ++part.choice, word += 2 + word[1]) {
            steps_ = static_cast<uint16_t>(steps_ + 1 + word[1]);
            if (word[1] > left(part) || memcmp(word + 2, capture_ + part.from, word[1]) != 0) continue;
            return go_on(part.item + size_of_item(item, max_profile, unused), part.from + word[1]);
        }
        return fail(PAIRMARK_TEXT("no known word"), part.from);
    }

    static const uint8_t* choice_of(const uint8_t* item, uint8_t choice) {
        const uint8_t* word = item + 3;
        while (choice-- > 0)
            word += 2 + word[1];
        return word;
    }

    bool attempt_number(const uint8_t* item, Part& part) {
        int16_t value = 0;
        for (;; ++part.choice) {
            const size_t width = static_cast<size_t>(item[5]) + part.choice;
            if (width > item[6] || width > left(part))
                return fail(PAIRMARK_TEXT("no such number"), part.from);
            steps_ = static_cast<uint16_t>(steps_ + width);
            if (steps_ > step_limit) return false;
            if (field_at(item, part, value) == FieldFound::wrong) continue;
            return go_on(part.item + number_size, part.from + width);
        }
    }

    FieldFound field_at(const uint8_t* item, const Part& part, int16_t& value) const {
        return read_field(item, capture_ + part.from, static_cast<size_t>(item[5]) + part.choice,
                          static_cast<uint8_t>(profile_.step()), value);
    }

    // Shortest first: the bytes of a shorter possibility were looked at already.
    bool attempt_changing(const uint8_t* item, Part& part) {
        const size_t length = static_cast<size_t>(item[2]) + part.choice;
        if (length > item[3] || length > left(part))
            return fail(PAIRMARK_TEXT("changing part differs"), part.from);
        for (size_t i = part.choice == 0 ? 0 : length - 1; i < length; ++i, ++steps_)
            if (!is_in_class(capture_[part.from + i], item[1]))
                return fail(PAIRMARK_TEXT("changing part differs"), static_cast<uint16_t>(part.from + i));
        return go_on(part.item + changing_size, part.from + length);
    }

    bool attempt_check_sum(const uint8_t* item, const Part& part) {
        const size_t width = check_sum_width(item);
        size_t first = item[4];
        for (uint8_t i = 0; i + 1 < part_count_; ++i)
            if (bytes_[parts_[i].item] == item_mark) first = parts_[i].from + item[4];
        if (width > left(part) || part.from < first + item[5])
            return fail(PAIRMARK_TEXT("check sum missing"), part.from);
        const size_t end = static_cast<size_t>(part.from) - item[5];
        steps_ = static_cast<uint16_t>(steps_ + end - first + width);
        if (!check_sum_holds(item, capture_ + first, capture_ + end, capture_ + part.from))
            return fail(PAIRMARK_TEXT("check sum wrong"), part.from);
        return go_on(part.item + check_sum_size, part.from + width);
    }

    // The whole capture is accounted for: what does it say?
    void keep() {
        Decoded said;
        if (no_reading_) {
            said.outcome = Decoded::Outcome::no_reading;
        } else {
            Values values;
            for (uint8_t i = 0; i < part_count_; ++i)
                gather(parts_[i], values);
            said = values.resolve(profile_.zero_axis_is_180());
            if (said.outcome == Decoded::Outcome::refused) {
                fail(said.why, size_);
                return;
            }
        }
        if (found_any_ && !is_same(said, found_)) ambiguous_ = true;
        found_ = said;
        found_any_ = true;
    }

    void gather(const Part& part, Values& values) const {
        const uint8_t* item = bytes_ + part.item;
        int16_t value = 0;
        if (*item == item_word) {
            values.say(item[1], choice_of(item, part.choice)[0]);
        } else if (*item == item_number && field_at(item, part, value) != FieldFound::absent) {
            values.set(item[1], value);
        }
    }

    const Profile& profile_;
    const uint8_t* bytes_;
    const uint8_t* capture_;
    uint16_t size_;
    uint16_t item_ = 0;
    uint16_t at_ = 0;
    uint16_t furthest_ = 0;
    const char* why_ = nullptr;
    uint16_t steps_ = 0;  // cannot wrap: between two looks at the limit it grows by less than 2000
    bool no_reading_ = false;
    bool ambiguous_ = false;
    bool found_any_ = false;
    uint8_t part_count_ = 0;
    Part parts_[max_parts];
    Decoded found_;
};

}  // namespace

Decoded decode(const Profile& profile, const uint8_t* capture, size_t size) {
    Decoded refused;
    refused.why = PAIRMARK_TEXT("no profile");
    if (!profile.is_open()) return refused;
    refused.why = PAIRMARK_TEXT("empty capture");
    if (size == 0) return refused;
    refused.why = PAIRMARK_TEXT("capture too long");
    refused.at = max_capture;
    if (size > max_capture) return refused;
    return Matcher(profile, capture, size).run();
}

}  // namespace protocol
}  // namespace pairmark
