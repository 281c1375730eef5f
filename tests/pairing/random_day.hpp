// Days made from a seed, and what can be seen of a table, as text to compare.
#pragma once

#include <map>
#include <random>
#include <string>

#include "tests/pairing/day.hpp"

namespace pairmark::pairing::testing {

/// What can be seen of a pair, without its label's number: two pairs with the same text are in the same
/// place.
inline std::string seen(const Table& table, std::int64_t id) {
    const record::Pair& pair = *table.find(id);
    std::string text = std::string(record::word(pair.state)) + (pair.late ? " late" : "") +
                       (pair.looked_over ? " over" : "");
    for (const Eye eye : {Eye::right, Eye::left}) {
        text += ' ';
        if (pair.lens(eye)) text += record::letter(eye) + std::to_string(pair.lens(eye)->event);
    }
    if (pair.centres_mm) text += " c" + std::to_string(*pair.centres_mm);
    if (pair.turned_down_because) text += " because:" + *pair.turned_down_because;
    for (const auto& [name, value] : pair.marks)
        text += " " + name + "=" + value;
    for (const record::Question& put : pair.questions)
        text += " ?" + put.id;
    for (const std::int64_t event : table.pending(id))
        text += " held" + std::to_string(event);
    for (const std::int64_t event : table.superseded(id))
        text += " old" + std::to_string(event);
    return text;
}

/// A person, an instrument and a programme that do anything at any time.
class RandomDay {
  public:
    explicit RandomDay(unsigned seed) : day({.looked_over_earlier = seed % 2 == 0}), chance_(seed) {}

    Day day;

    enum class Kind { reading, undo, answer, other };
    struct Happened {
        Kind kind = Kind::other;
        std::optional<std::int64_t> named;  // the pair that the act named, if it named one
        std::int64_t event = 0;
    };

    /// One event. `acts_only`: only what undo takes back (restarts come along all the same).
    Happened happen_anything(bool acts_only) {
        Happened happened;
        switch (below(acts_only ? 15 : 20)) {
            case 0:
            case 1:
            case 2:
            case 3:
            case 4:
            case 5:
            case 6:
                happened.kind = Kind::reading;
                happened.event = read();
                break;
            case 7:
                day.press(Key::go_on);
                happened.kind = Kind::answer;
                break;
            case 8:
                day.press(below(2) ? Key::turn_down : Key::set_aside);
                break;
            case 9:
                happened.named = name();
                day.act(pick<const char*>({"turn-down", "set-aside", "release", "in-order"}), happened.named,
                        "why");
                break;
            case 10:
            case 11:
                answer(happened);
                break;
            case 12:
                happened.named = name();
                mark(happened.named);
                break;
            case 13:
                day.mark({{"rim", "full"}}, 0);
                break;
            case 14:
                restart();
                break;
            case 15:
            case 16:
                day.press(Key::undo);
                happened.kind = Kind::undo;
                break;
            case 17:
                day.act("undo", happened.named = name());
                happened.kind = Kind::undo;
                break;
            case 18:
                day.press(Key::undo, below(4) == 0);
                happened.kind = Kind::undo;
                break;
            default:
                day.wait_too_long(day.table.count());
                break;
        }
        return happened;
    }

    /// Grading by a rule that looks at nothing but the pair, then the number; now and then a void number is
    /// tried again.
    void settle_all() {
        for (std::int64_t id = 1; id <= day.table.count(); ++id) {
            if (!day.table.needs_decision(id)) continue;
            const record::Pair& pair = day.pair(id);
            const std::int64_t rule = (pair.right->event * 7 + pair.left->event) % 6;
            const bool gold = pair.marks.contains("gold");
            day.table.settle(id, gold || rule == 0 ? Decision::discard
                                 : rule == 1       ? Decision::ask
                                                   : Decision::keep);
            if (pair.state != PairState::decided) continue;
            if (!given_[id].empty() && below(2) == 0) day.number(id, given_[id].front());
            if (pair.state != PairState::decided) continue;
            const std::string fresh = "N" + std::to_string(++numbers_);
            given_[id].push_back(fresh);
            day.number(id, fresh);
        }
    }

    unsigned below(unsigned limit) { return static_cast<unsigned>(chance_()) % limit; }
    std::uint32_t boots = 0;  // restarts told so far

  private:
    template <class T>
    T pick(std::initializer_list<T> of) {
        return of.begin()[below(static_cast<unsigned>(of.size()))];
    }

    std::int64_t read() {
        How how{.late = below(12) == 0, .first_after_reset = below(15) == 0};
        if (below(5) == 0) how.centres_mm = 60 + below(4);
        if (how.first_after_reset) ++boots;
        const auto sphere = [this] { return -0.25 * below(6); };
        const auto eye = pick<std::optional<Eye>>({Eye::right, Eye::left, std::nullopt});
        if (below(5) != 0) return day.read({lens(eye, sphere())}, how);
        return day.read({lens(Eye::right, sphere()), lens(eye ? std::optional(Eye::left) : eye, sphere())},
                        how);
    }

    std::optional<std::int64_t> name() {
        if (below(3) == 0) return std::nullopt;
        return 1 + below(static_cast<unsigned>(day.table.count()) + 1);
    }

    void mark(std::optional<std::int64_t> pair) {
        day.mark(pick<record::Marks>({{{"gold", "yes"}}, {{"lens_type", "segment"}}, {{"rim", "cord"}}}),
                 pair);
    }

    /// An answer that is possible, if any pair asks.
    void answer(Happened& happened) {
        happened.kind = Kind::answer;
        std::vector<std::int64_t> asking;
        for (std::int64_t id = 1; id <= day.table.count(); ++id) {
            if (!day.choices(id).empty()) asking.push_back(id);
        }
        const std::int64_t id = asking.empty() ? 1 : asking[below(static_cast<unsigned>(asking.size()))];
        happened.named = id;
        const Words choices = asking.empty() ? Words{"same-lens"} : day.choices(id);
        day.answer(id, choices[below(static_cast<unsigned>(choices.size()))]);
    }

    void restart() {
        ++boots;
        day.restart();
    }

    std::mt19937 chance_;
    int numbers_ = 0;
    std::map<std::int64_t, Words> given_;  // numbers, by pair
};

}  // namespace pairmark::pairing::testing
