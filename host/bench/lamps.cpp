#include "host/bench/lamps.hpp"

namespace pairmark::bench {

void Lamps::verdict(std::int64_t pair, const std::string& show) {
    pair_ = pair;
    verdict_ = show;
    cue_(show);
}

void Lamps::no_verdict(std::int64_t pair) {
    if (pair != pair_ || verdict_.empty()) return;
    verdict_.clear();
    clear();
}

void Lamps::needs_person(bool needs) {
    if (needs == needs_person_) return;
    needs_person_ = needs;
    if (needs) return cue_("printer");
    clear();
}

void Lamps::greeted() {
    verdict_.clear();
    clear();
}

/// "clear" puts verdict and printer out together; what still holds is asked for again.
void Lamps::clear() {
    cue_("clear");
    if (!verdict_.empty()) cue_(verdict_);
    if (needs_person_) cue_("printer");
}

}  // namespace pairmark::bench
