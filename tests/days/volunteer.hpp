// Somebody at the bench: measures pairs, looks at lamps and screen, presses keys, answers what is asked.
#pragma once

#include <functional>
#include <string>

#include "tests/days/chance.hpp"
#include "tests/days/world.hpp"

namespace pairmark::days {

class Volunteer {
  public:
    Volunteer(World& world, Chance chance) : world_(world), chance_(chance) {}

    /// So many pairs, with everything that happens at a bench. Empty, or why the day could not go on.
    std::string work(unsigned pairs);
    /// Does what the screen asks for before going home: releases what is held, lets labels go out again, and
    /// says that the clock is right.
    void tidy_up();

    bool measure(const Lens& lens);
    /// A press; `keys` as in the board's `keys()`.
    bool press(std::uint8_t keys, bool long_press);

  private:
    bool until_accepted(const std::function<void()>& act);
    bool get_ready();
    void one_pair();
    void look_at_screen();
    void answer(const record::Pair& pair);
    void change_an_old_pair();
    void look_at_labels();
    Lens next_lens(record::Eye eye);
    void fail(const std::string& what) {
        if (fault_.empty()) fault_ = what;
    }
    bool failed() const { return !fault_.empty(); }

    World& world_;
    Chance chance_;
    unsigned lenses_ = 0;
    std::string fault_;
};

}  // namespace pairmark::days
