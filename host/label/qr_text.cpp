#include "host/label/qr_text.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "host/label/facts.hpp"
#include "host/label/number.hpp"
#include "host/label/refused.hpp"
#include "host/label/words.hpp"

namespace pairmark::label {
namespace {

using optics::Dioptre;

constexpr std::size_t longest = 512;

std::string in_tenths(double millimetres) {
    const auto tenths = std::lround(millimetres * 10);
    return std::to_string(tenths / 10) + '.' + std::to_string(tenths % 10);
}

// Reads parts off the front of the text. Form is checked loosely: that the whole is spelt as qr_text spells
// it is checked once, at the end.
class Reader {
  public:
    explicit Reader(std::string_view text) : rest_(text) {}

    bool takes(std::string_view word) {
        if (!rest_.starts_with(word)) return false;
        rest_.remove_prefix(word.size());
        return true;
    }
    void expect(std::string_view word, const char* what) {
        if (!takes(word))
            throw BadQrText(std::string(what) + " was expected at '" + std::string(rest_.substr(0, 16)) +
                            "'");
    }
    std::string_view word() { return take(rest_.find(' ')); }
    std::string rest() { return std::string(take(rest_.size())); }

    /// A decimal number with at most three decimals, in thousandths.
    std::int64_t thousandths(const char* what) {
        const bool minus = takes("-");
        if (!minus) (void)takes("+");
        const std::int64_t whole = digits(1, 3, what);
        expect(".", what);
        const std::size_t places = std::min<std::size_t>(rest_.find_first_not_of("0123456789"), rest_.size());
        std::int64_t fraction = digits(1, 3, what);
        for (std::size_t i = places; i < 3; ++i)
            fraction *= 10;
        return (whole * 1000 + fraction) * (minus ? -1 : 1);
    }
    Dioptre dioptres(const char* what) { return Dioptre::millionths(thousandths(what) * 1000); }
    std::int64_t digits(std::size_t least, std::size_t most, const char* what) {
        const std::size_t count = std::min<std::size_t>(rest_.find_first_not_of("0123456789"), rest_.size());
        if (count < least || count > most)
            throw BadQrText(std::string(what) + ": a number was expected at '" +
                            std::string(rest_.substr(0, 16)) + "'");
        std::int64_t number = 0;
        const std::string_view part = take(count);
        (void)std::from_chars(part.data(), part.data() + part.size(), number);
        return number;
    }

  private:
    std::string_view take(std::size_t count) {
        const std::string_view part = rest_.substr(0, count);
        rest_.remove_prefix(part.size());
        return part;
    }
    std::string_view rest_;
};

optics::Power read_power(Reader& reader, const char* what) {
    optics::Power power;
    power.sphere = reader.dioptres(what);
    if (reader.takes("DS")) return power;
    power.cylinder = reader.dioptres(what);
    reader.expect("X", what);
    power.axis = static_cast<double>(reader.digits(3, 3, what));
    return power;
}

record::LabelFacts read_facts(Reader reader) {
    record::LabelFacts facts;
    reader.expect("PM1 ", "the mark 'PM1'");
    facts.number = reader.word();
    reader.expect(" R", "the right lens");
    facts.right = read_power(reader, "the right lens");
    reader.expect(" L", "the left lens");
    facts.left = read_power(reader, "the left lens");
    reader.expect(" SE", "the spherical equivalents");
    facts.right_equivalent = reader.dioptres("the right spherical equivalent").value();
    reader.expect("/", "the left spherical equivalent");
    facts.left_equivalent = reader.dioptres("the left spherical equivalent").value();
    if (reader.takes(" ADD")) {
        facts.right_addition = reader.dioptres("the right addition");
        reader.expect("/", "the left addition");
        facts.left_addition = reader.dioptres("the left addition");
        reader.expect(" ", "the addition's kind");
        const std::string_view kind = reader.word();
        facts.addition_kind = kind == "SEG" ? "segment" : kind == "PROG" ? "progressive" : "unknown";
        if (reader.takes(" FRONT")) facts.addition_by = "front";
        if (reader.takes(" BACK")) facts.addition_by = "back";
    }
    reader.expect(" CD", "the centre distance");
    if (!reader.takes("-"))
        facts.centres_mm = static_cast<double>(reader.thousandths("the centre distance")) / 1000;
    reader.expect(" ", "the date");
    facts.date = reader.word();
    facts.typed = reader.takes(" TYPED");
    if (reader.takes(" COPY")) facts.copy = static_cast<int>(reader.digits(1, 2, "the copy"));
    reader.expect(" AT ", "the place");
    facts.place = reader.rest();
    return facts;
}

}  // namespace

std::string qr_text(const record::LabelFacts& facts) {
    const auto plain = [](Dioptre value) { return text_of(value, plain_signs); };
    std::string text = "PM1 " + facts.number;
    text += " R" + text_of(facts.right, plain_signs) + " L" + text_of(facts.left, plain_signs);
    text += " SE" + plain(Dioptre::nearest(facts.right_equivalent)) + '/' +
            plain(Dioptre::nearest(facts.left_equivalent));
    if (facts.right_addition && facts.left_addition) {
        text += " ADD" + plain(*facts.right_addition) + '/' + plain(*facts.left_addition) +
                (facts.addition_kind == "segment" ? " SEG" : " PROG");
        if (!facts.addition_by.empty()) text += facts.addition_by == "front" ? " FRONT" : " BACK";
    }
    text += " CD" + (facts.centres_mm ? in_tenths(*facts.centres_mm) : "-") + ' ' + facts.date;
    if (facts.typed) text += " TYPED";
    if (facts.copy > 0) text += " COPY" + std::to_string(facts.copy);
    return text + " AT " + facts.place;
}

record::LabelFacts parse_qr_text(std::string_view text) {
    if (text.size() > longest) throw BadQrText("the text is longer than a label's");
    record::LabelFacts facts = read_facts(Reader(text));
    try {
        check_facts(facts);
    } catch (const LabelRefused& refused) {
        throw BadQrText(refused.where() + ": " + refused.happened());
    }
    if (qr_text(facts) != text)
        throw BadQrText("the text is not spelt as a label's; the nearest label would say '" + qr_text(facts) +
                        "'");
    return facts;
}

std::string number_text(const std::string& number) {
    return "PM1 " + number;
}

std::string parse_number(std::string_view text) {
    if (text.find(" R") != std::string_view::npos) return parse_qr_text(text).number;
    Reader reader(text.substr(0, longest));
    reader.expect("PM1 ", "the mark 'PM1'");
    const std::string number = reader.rest();
    if (!verify_number(number)) throw BadQrText("'" + number + "' is not a label's number");
    return number;
}

}  // namespace pairmark::label
