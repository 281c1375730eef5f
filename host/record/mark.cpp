#include "host/record/mark.hpp"

#include <algorithm>
#include <array>
#include <numeric>

#include "host/record/words.hpp"

namespace pairmark::record {
namespace {

constexpr int longest_text = 32;

/// Single-character insertions, deletions and substitutions that turn `a` into `b`.
std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replaced = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
            diagonal = row[j];
            row[j] = std::min({row[j] + 1, row[j - 1] + 1, replaced});
        }
    }
    return row.back();
}

/// The known word that `typed` was most likely meant to be; empty if none is near.
std::string_view nearest(std::string_view typed, std::span<const std::string_view> known) {
    if (typed.size() > 40) return {};
    std::string_view best;
    std::size_t best_distance = 3;  // two slips; more is another word
    for (const std::string_view candidate : known) {
        const std::size_t distance = edit_distance(typed, candidate);
        if (distance < best_distance && distance < candidate.size()) {
            best = candidate;
            best_distance = distance;
        }
    }
    return best;
}

std::string list(std::span<const std::string_view> words) {
    std::string out;
    for (const std::string_view w : words) {
        if (!out.empty()) out += ", ";
        out += w;
    }
    return out;
}

std::string did_you_mean(std::string_view typed, std::span<const std::string_view> known) {
    const std::string_view near = nearest(typed, known);
    return near.empty() ? "" : "; did you mean \"" + std::string(near) + "\"?";
}

std::optional<std::string> fault_in_text(std::string_view name, std::string_view value) {
    int characters = 0;
    const bool sound = is_utf8(value, &characters) && characters >= 1 && characters <= longest_text;
    if (sound) return std::nullopt;
    return std::string(name) + " takes a text of 1 to " + std::to_string(longest_text) +
           " printable characters, not " + in_quotes(value);
}

constexpr std::string_view three_numbers = "three numbers in millimetres, as in 52-18-140";

/// One of the three numbers of a frame's size. The limits leave room around every frame that is made; the
/// three measures and their order are those of ISO 8624.
struct FrameMeasure {
    std::string_view what;
    int least_mm;
    int most_mm;
};
constexpr std::array frame_measures{
    FrameMeasure{"the width of a lens's box", 20, 80},
    FrameMeasure{"the distance between the lenses", 5, 40},
    FrameMeasure{"the length of a side", 60, 180},
};

/// A whole number of 1 to 3 digits without a leading zero; -1 if it is none.
int whole_number(std::string_view digits) {
    const bool sound = !digits.empty() && digits.size() <= 3 && digits.front() != '0' &&
                       digits.find_first_not_of("0123456789") == std::string_view::npos;
    if (!sound) return -1;
    return std::accumulate(digits.begin(), digits.end(), 0,
                           [](int sum, char digit) { return sum * 10 + (digit - '0'); });
}

/// Why `value` is not three numbers of a frame, as the end of a sentence; empty: it is none of that form at
/// all.
std::optional<std::string> fault_in_three_numbers(std::string_view value) {
    std::array<std::string_view, 3> parts;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const std::size_t dash = value.find('-');
        if ((dash == std::string_view::npos) != (i + 1 == parts.size())) return "";
        parts[i] = value.substr(0, dash);
        value.remove_prefix(dash == std::string_view::npos ? value.size() : dash + 1);
        if (whole_number(parts[i]) < 0) return "";
    }
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const auto& [what, least, most] = frame_measures[i];
        const int number = whole_number(parts[i]);
        if (number < least || number > most)
            return "; " + std::string(what) + " is from " + std::to_string(least) + " to " +
                   std::to_string(most) + ", not " + std::to_string(number);
    }
    return std::nullopt;
}

}  // namespace

std::span<const MarkWord> mark_vocabulary() {
    static const std::vector<MarkWord> vocabulary{
        {"rim", {"full", "cord", "none"}, "", "how the rim holds the lenses"},
        {"tint",
         {"none", "light", "dark", "changing"},
         "none",
         "colour of the lenses; changing: darkens in the sun"},
        {"scratches",
         {"none", "outside", "central"},
         "none",
         "scratches that show; central: in the middle 30 mm"},
        {"glass", {"yes", "no"}, "no", "mineral glass, which splinters"},
        {"pads", {"both", "missing", "moulded"}, "both", "nose pads; moulded: part of the frame"},
        {"sides", {"sound", "damaged"}, "sound", "sides and joints"},
        {"lens_type",
         {"single", "segment", "progressive"},
         "single",
         "single vision, visible segment, progressive"},
        {"child", {"yes", "no"}, "no", "a child's frame"},
        {"broken", {"yes", "no"}, "no", "front or lens broken"},
        {"gold", {"yes", "no"}, "no", "gold-coloured frame"},
        {"clean", {"yes", "no"}, "yes", "washed and dry"},
        {"plano", {"yes", "no"}, "", "the lens without power is so on purpose: plano, or a balance lens"},
        {"frame_size",
         {"S", "M", "L"},
         "",
         "width of a lens's box, distance between the lenses, side",
         three_numbers},
        {"style", {"women", "men", "either"}, "", "whom the frame is made for"},
        {"addition_by", {"front", "back"}, "", "which vertex power the addition was measured as"},
        {"carrier", {}, "", "number of the tray or bag it lies in"},
    };
    return vocabulary;
}

std::optional<std::string> fault_in_mark(std::string_view name, std::string_view value) {
    const auto vocabulary = mark_vocabulary();
    const auto found = std::find_if(vocabulary.begin(), vocabulary.end(),
                                    [name](const MarkWord& mark) { return mark.name == name; });
    if (found == vocabulary.end()) {
        std::vector<std::string_view> names;
        names.reserve(vocabulary.size());
        for (const MarkWord& mark : vocabulary) {
            names.push_back(mark.name);
        }
        return "there is no mark " + in_quotes(name) + ", only " + list(names) + did_you_mean(name, names);
    }
    if (found->values.empty()) return fault_in_text(name, value);
    if (std::find(found->values.begin(), found->values.end(), value) != found->values.end())
        return std::nullopt;
    std::string expected = std::string(name) + " is one of " + list(found->values);
    if (found->form.empty())
        return expected + ", not " + in_quotes(value) + did_you_mean(value, found->values);
    const auto fault = fault_in_three_numbers(value);
    if (!fault) return std::nullopt;
    return expected + ", or " + std::string(found->form) + ", not " + in_quotes(value) + *fault;
}

Marks all_in_order() {
    Marks marks;
    for (const MarkWord& mark : mark_vocabulary()) {
        if (!mark.in_order.empty()) marks.emplace(mark.name, mark.in_order);
    }
    return marks;
}

}  // namespace pairmark::record
