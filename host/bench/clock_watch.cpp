#include "host/bench/clock_watch.hpp"

#include <algorithm>

#include "host/bench/timers.hpp"

namespace pairmark::bench {

void ClockWatch::saw(const record::Event& event) {
    const auto at = moment_of(event.at);
    if (!at) return;
    const auto* note = std::get_if<record::Noted>(&event.body);
    newest_ = note != nullptr && note->what == clock_right ? *at : std::max(newest_, *at);
}

}  // namespace pairmark::bench
