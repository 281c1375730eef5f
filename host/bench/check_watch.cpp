#include "host/bench/check_watch.hpp"

#include <algorithm>

namespace pairmark::bench {

void CheckWatch::saw(const record::Event& event) {
    const auto* acted = std::get_if<record::Acted>(&event.body);
    const auto* timed_out = std::get_if<record::TimedOut>(&event.body);
    if (acted != nullptr && acted->act == act)
        passed_ = acted->text == "passed" ? moment_of(event.at) : std::nullopt;
    if (timed_out != nullptr && timed_out->what == act) passed_.reset();
}

std::optional<Milliseconds> CheckWatch::left(std::chrono::system_clock::time_point now) const {
    if (!passed_) return std::nullopt;
    const auto since = std::chrono::duration_cast<Milliseconds>(now - *passed_);
    const Milliseconds whole = counts_for;
    return std::clamp(whole - since, Milliseconds(0), whole);
}

}  // namespace pairmark::bench
