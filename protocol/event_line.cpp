#include <string.h>

#include "protocol/event_record.hpp"

namespace pairmark {
namespace protocol {

namespace {

struct Word {
    const char* text;
    uint8_t code;
};

constexpr Word steps[] = {{"quarter", 1}, {"eighth", 2}, {"hundredth", 3}};
constexpr Word keys[] = {{"go", 1}, {"down", 2}, {"undo", 3}, {"aside", 4}};
constexpr Word eyes[] = {{"-", 0}, {"R", 1}, {"L", 2}};

template <size_t n>
const char* word_of(const Word (&words)[n], uint8_t code) {
    for (const Word& word : words)
        if (word.code == code) return word.text;
    return "";
}

template <size_t n>
bool code_of(const Word (&words)[n], Text text, uint8_t& code) {
    for (const Word& word : words) {
        if (text == word.text) {
            code = word.code;
            return true;
        }
    }
    return false;
}

// The keys of a lens are one letter; those of the second lens have a 2 behind it.
struct LensKeys {
    explicit LensKeys(bool second) : second_(second) {}
    const char* operator()(char letter) {
        text_[0] = letter;
        text_[1] = second_ ? '2' : '\0';
        text_[2] = '\0';
        return text_;
    }

  private:
    bool second_;
    char text_[3] = {0, 0, 0};
};

void write_lens(LineWriter& line, const LensFields& lens, bool second) {
    LensKeys key(second);
    line.add(key('e'), word_of(eyes, static_cast<uint8_t>(lens.eye)));
    line.add_number(key('s'), lens.sphere);
    line.add_number(key('c'), lens.cylinder);
    line.add_number(key('a'), lens.axis);
    if (lens.has_addition) line.add_number(key('d'), lens.addition);
    if (lens.has_prism) {
        line.add_number(key('h'), lens.horizontal_prism);
        line.add_number(key('v'), lens.vertical_prism);
    }
}

/// Reads keys one after another; the first that is missing or wrong is kept as the fault.
class Fields {
  public:
    Fields(const Line& line, const char*& fault) : line_(line), fault_(fault) { fault = nullptr; }
    bool is_good() const { return fault_ == nullptr; }
    void blame(const char* key) {
        if (is_good()) fault_ = key;
    }
    bool has(const char* key) const {
        Text unused{nullptr, 0};
        return line_.get(key, unused);
    }
    /// `named` outlives the call as the fault; `key` may be a temporary.
    int16_t number(const char* key, const char* named, int16_t low, int16_t high) {
        int32_t value = 0;
        if (!line_.get_number(key, value) || value < low || value > high) blame(named);
        return static_cast<int16_t>(value);
    }
    uint32_t count(const char* key, uint32_t low, uint32_t high) {
        uint32_t value = 0;
        if (!line_.get_count(key, value) || value < low || value > high) blame(key);
        return value;
    }
    bool flag(const char* key) { return has(key) && count(key, 1, 1) == 1; }
    template <size_t n>
    uint8_t word(const char* key, const char* named, const Word (&words)[n]) {
        Text text{nullptr, 0};
        uint8_t code = 0;
        if (!line_.get(key, text) || !code_of(words, text, code)) blame(named);
        return code;
    }

  private:
    const Line& line_;
    const char*& fault_;
};

void read_lens(Fields& fields, LensFields& lens, bool second) {
    LensKeys key(second);
    lens.eye = static_cast<EyeCode>(fields.word(key('e'), second ? "e2" : "e", eyes));
    lens.sphere = fields.number(key('s'), second ? "s2" : "s", -max_sphere, max_sphere);
    lens.cylinder = fields.number(key('c'), second ? "c2" : "c", -max_cylinder, max_cylinder);
    lens.axis = static_cast<uint8_t>(fields.number(key('a'), second ? "a2" : "a", 0, 180));
    if ((lens.axis == 0) != (lens.cylinder == 0)) fields.blame(second ? "a2" : "a");
    lens.has_addition = fields.has(key('d'));
    if (lens.has_addition) lens.addition = fields.number(key('d'), second ? "d2" : "d", 0, max_addition);
    lens.has_prism = fields.has(key('h')) || fields.has(key('v'));
    if (lens.has_prism) {
        lens.horizontal_prism = fields.number(key('h'), second ? "h2" : "h", -max_prism, max_prism);
        lens.vertical_prism = fields.number(key('v'), second ? "v2" : "v", -max_prism, max_prism);
    }
}

void read_reading(Fields& fields, EventFields& event) {
    event.step = static_cast<StepCode>(fields.word("step", "step", steps));
    event.has_centres = fields.has("cd");
    if (event.has_centres) event.centres = fields.number("cd", "cd", min_centres, max_centres);
    event.lens_count = fields.has("e2") ? 2 : 1;
    for (uint8_t i = 0; i < event.lens_count; ++i)
        read_lens(fields, event.lens[i], i == 1);
    if (event.lens_count == 2 && !are_in_order(event.lens[0].eye, event.lens[1].eye)) fields.blame("e2");
    // A second lens without its eye key would otherwise be dropped without a word.
    if (event.lens_count == 1 && (fields.has("s2") || fields.has("c2") || fields.has("a2")))
        fields.blame("e2");
}

}  // namespace

Text write_event(LineWriter& line, const uint8_t (&id)[8], const EventFields& event, uint32_t crc,
                 bool age_known, uint32_t age_ms) {
    line.add_hex("id", id, sizeof id)
        .add_count("ep", event.epoch)
        .add_count("n", event.number)
        .add_hex("rec", crc);
    if (age_known) line.add_count("age", age_ms);
    if (event.first_after_reset) line.add("first", "1");
    if (event.kind == EventKind::key) {
        line.add("k", "key").add("key", word_of(keys, static_cast<uint8_t>(event.key)));
        if (event.long_press) line.add("long", "1");
        return line.finish();
    }
    line.add("k", "reading").add("step", word_of(steps, static_cast<uint8_t>(event.step)));
    if (event.has_centres) line.add_number("cd", event.centres);
    for (uint8_t i = 0; i < event.lens_count && i < 2; ++i)
        write_lens(line, event.lens[i], i == 1);
    return line.finish();
}

bool read_event(const Line& line, EventLine& event, const char*& fault) {
    Fields fields(line, fault);
    event = EventLine();
    if (line.kind() != "EVENT") fields.blame("EVENT");
    if (!line.get_hex("id", event.id, sizeof event.id)) fields.blame("id");
    event.event.epoch = static_cast<uint16_t>(fields.count("ep", 0, 65535));
    event.event.number = fields.count("n", 1, 4294967295u);
    if (!line.get_hex("rec", event.crc)) fields.blame("rec");
    event.age_known = fields.has("age");
    if (event.age_known) event.age_ms = fields.count("age", 0, 4294967295u);
    event.event.first_after_reset = fields.flag("first");
    Text kind{nullptr, 0};
    if (!line.get("k", kind)) {
        fields.blame("k");
    } else if (kind == "key") {
        event.event.kind = EventKind::key;
        event.event.key = static_cast<Key>(fields.word("key", "key", keys));
        event.event.long_press = fields.flag("long");
    } else if (kind == "reading") {
        event.event.kind = EventKind::reading;
        read_reading(fields, event.event);
    } else {
        fields.blame("k");
    }
    return fields.is_good();
}

}  // namespace protocol
}  // namespace pairmark
