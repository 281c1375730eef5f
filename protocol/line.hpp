// The protocol's line: "@KIND key=value key=value *CRC32<CR><LF>". Building it, finding it in a stream,
// reading it.
//
// Trust: bytes come from a cable that anything may drive. Invariants, for any bytes whatever:
//   L1  no line longer than max_line bytes is ever accepted, and nothing is written past a buffer;
//   L2  a line is accepted only if its CRC is right, so no part of a damaged line is ever acted on;
//   L3  after damage, reading resumes at the next '@' or line end; '@' stands nowhere inside a line;
//   L4  a value is handed out only as a view into the line's own buffer, ended by its length.
#pragma once

#include <stddef.h>
#include <stdint.h>

namespace pairmark {
namespace protocol {

/// Bytes of a line at most, from '@' to LF, both included.
constexpr size_t max_line = 240;

/// A piece of text inside a buffer that somebody else owns; not ended by a zero byte.
struct Text {
    const char* data;
    size_t size;
};

bool operator==(Text a, const char* b);
inline bool operator!=(Text a, const char* b) {
    return !(a == b);
}

/// Builds one line in a buffer of its own. Every `add` after an overflow is ignored and `finish` returns an
/// empty text: a line that does not fit is never sent cut.
class LineWriter {
  public:
    /// `kind` is upper-case letters; it must outlive the call only.
    explicit LineWriter(const char* kind);
    /// The value: printable ASCII without '!', ' ', '*', '=' or '@'; any other byte counts as an overflow.
    LineWriter& add(const char* key, Text value);
    LineWriter& add(const char* key, const char* value);  // the same, ended by a zero byte
    LineWriter& add_number(const char* key, int32_t value);
    LineWriter& add_count(const char* key, uint32_t value);
    LineWriter& add_hex(const char* key, uint32_t value);                     // 8 upper-case hex digits
    LineWriter& add_hex(const char* key, const uint8_t* bytes, size_t size);  // two upper-case digits a byte
    /// Appends " *CRC<CR><LF>" and gives the whole line, valid until this object is destroyed; empty on
    /// overflow.
    Text finish();

  private:
    LineWriter& add_decimal(const char* key, bool minus, uint32_t size);
    void put(char c);
    void put(const char* s);
    char buffer_[max_line];
    size_t size_ = 0;
    bool overflow_ = false;
};

enum class LineFault : uint8_t {
    none,
    not_a_line,  // does not begin with '@', or has a byte outside printable ASCII, or a '!'
    malformed,   // no kind, a field without '=', two blanks in a row, a second '@'
    no_crc,      // no " *" with eight upper-case hex digits at its end
    wrong_crc,
    too_long
};

class Line;

/// Reads one line, without its CR LF. `line` is only meaningful if `none` is returned.
LineFault parse_line(Text bytes, Line& line);

/// A line that was read and whose CRC is right. Views stay valid as long as the bytes that were given to
/// `parse`.
class Line {
  public:
    Text kind() const { return kind_; }
    /// The value of `key`; false if it is absent. Of a key that stands twice the first counts.
    bool get(const char* key, Text& value) const;
    bool get_number(const char* key, int32_t& value)
        const;  // decimal, optional '-', no needless zero; false if absent or malformed
    bool get_count(const char* key, uint32_t& value) const;            // decimal, no sign
    bool get_hex(const char* key, uint32_t& value) const;              // exactly 8 hex digits
    bool get_hex(const char* key, uint8_t* bytes, size_t size) const;  // exactly 2*size hex digits
    /// As above for a value of unknown length: at most `capacity` bytes, the number of bytes in `size`.
    bool get_hex(const char* key, uint8_t* bytes, size_t capacity, size_t& size) const;

  private:
    friend LineFault parse_line(Text, Line&);
    Text kind_{nullptr, 0};
    Text fields_{nullptr, 0};
};

/// The name of a fault, for people: "wrong check sum", ...
const char* name_of(LineFault fault);

/// Finds lines in a stream of bytes. Needs no more memory than one line.
class LineReader {
  public:
    enum class Found : uint8_t { nothing, line, fault };
    /// Takes one byte. After `line`, `line()` is valid until the next `take`. After `fault`, `fault()` says
    /// which. A damaged line is told each time; garbage that does not begin with '@' is told once, where it
    /// first ends, and not again until a good line came. Empty lines say nothing.
    Found take(uint8_t byte);
    const Line& line() const { return line_; }
    LineFault fault() const { return fault_; }
    /// The raw characters of the line or fault just found, without CR LF (cut at max_line).
    Text raw() const { return {buffer_, raw_size_}; }
    uint32_t good() const { return good_; }        // lines accepted
    uint32_t damaged() const { return damaged_; }  // lines or runs of garbage refused

  private:
    Found end_of_line();
    Found refuse(LineFault fault);
    char buffer_[max_line];
    size_t size_ = 0;
    size_t raw_size_ = 0;
    bool skipping_ = false;  // until '@' or a line end: the line grew too long
    bool began_ = false;  // an '@' ended what stood before it and waits to be the first byte of the next line
    bool told_garbage_ = false;
    Line line_;
    LineFault fault_ = LineFault::none;
    uint32_t good_ = 0;
    uint32_t damaged_ = 0;
};

}  // namespace protocol
}  // namespace pairmark
