#include "host/bench/announcer.hpp"

#include <nlohmann/json.hpp>

#include "host/bench/columns.hpp"
#include "host/label/words.hpp"
#include "host/record/json.hpp"

namespace pairmark::bench {
namespace {

using nlohmann::json;

/// The lens as it stands (or would stand) on the label; a dash before it is measured.
std::string lens_text(const record::Pair& pair, const record::Verdict& verdict, record::Eye eye) {
    if (!pair.lens(eye)) return std::string(1, record::letter(eye)) + " -";
    // A half pair has no graded powers: it is shown as the instrument showed it.
    if (!pair.has_both()) return label::line_of(eye, pair.lens(eye)->reading.power);
    return label::line_of(eye, eye == record::Eye::right ? verdict.right : verdict.left);
}

void dump(std::ostream& out, const json& object) {
    out << object.dump(-1, ' ', false, json::error_handler_t::replace) << std::endl;
}

}  // namespace

std::string pair_line(const record::Pair& pair, const record::Verdict& verdict, const std::string& number,
                      const std::string& place) {
    if (pair.state == record::PairState::gone) return padded(std::to_string(pair.id), 5) + "taken back";
    std::string line = padded(std::to_string(pair.id), 5) +
                       padded(lens_text(pair, verdict, record::Eye::right), 24) +
                       padded(lens_text(pair, verdict, record::Eye::left), 24) +
                       padded(std::string(record::word(verdict.decision)), 9) + padded(verdict.tray, 12);
    if (!number.empty()) return line + padded(number, 16) + place;
    // What did not decide is left to the JSON form: beside a refusal, a question would only ask for an
    // answer.
    for (const record::Reason& reason : verdict.reasons) {
        if (reason.decision != verdict.decision) continue;
        line += "\n       - " + reason.say;
        if (reason.value && reason.limit) line += " (" + *reason.value + ", limit " + *reason.limit + ")";
    }
    return line;
}

std::string escaped(const std::string& text) {
    static constexpr char digits[] = "0123456789ABCDEF";
    std::string out;
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if (byte >= 0x20 && byte < 0x7F && c != '\\') {
            out += c;
        } else {
            out += "\\x";
            out += digits[byte >> 4U];
            out += digits[byte & 15U];
        }
    }
    return out;
}

void Announcer::line(const std::string& text) {
    out_ << text << std::endl;
}

void Announcer::tell(const std::string& kind, const std::string& say, const std::string& word) {
    if (form_ == Form::text) return line("     " + kind + ": " + say);
    json object{{"tell", kind}, {"say", say}};
    if (!word.empty()) object["word"] = word;
    dump(out_, object);
}

void Announcer::reading(const record::LensReading& lens) {
    const std::string eye(lens.eye ? record::word(*lens.eye) : "unnamed");
    const std::string text =
        lens.eye ? label::line_of(*lens.eye, lens.power) : "- " + label::text_of(lens.power);
    if (form_ == Form::text) return line("     " + text);
    dump(out_, {{"tell", "reading"}, {"eye", eye}, {"say", text}});
}

void Announcer::pair(const record::Pair& pair, const record::Verdict& verdict, const std::string& number,
                     const std::string& place, const std::string& file) {
    const std::string text = pair_line(pair, verdict, number, place);
    if (form_ == Form::text) {
        line(text);
        if (!file.empty()) line("     label: " + file);
        return;
    }
    json object{{"tell", "pair"},
                {"pair", pair.id},
                {"state", record::word(pair.state)},
                {"say", text},
                {"verdict", record::to_json(verdict)},
                {"number", number},
                {"place", place},
                {"file", file}};
    dump(out_, object);
}

}  // namespace pairmark::bench
