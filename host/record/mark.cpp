#include "host/record/mark.hpp"

#include <algorithm>
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
         "scratches that show, and whether in front of the pupil"},
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
        {"clean", {"yes", "no"}, "yes", "washed"},
        {"carrier", {}, "", "the tray or bag that the pair lies in"},
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
    return std::string(name) + " is one of " + list(found->values) + ", not " + in_quotes(value) +
           did_you_mean(value, found->values);
}

Marks all_in_order() {
    Marks marks;
    for (const MarkWord& mark : mark_vocabulary()) {
        if (!mark.in_order.empty()) marks.emplace(mark.name, mark.in_order);
    }
    return marks;
}

}  // namespace pairmark::record
