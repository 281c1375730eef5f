#include "host/pairing/slot.hpp"

#include <cmath>

#include "host/optics/compare.hpp"
#include "host/optics/power_vector.hpp"

namespace pairmark::pairing {

using record::Decision;
using record::PairState;

record::PairState state_of(const Slot& slot) {
    const record::Pair& pair = slot.pair();
    if (pair.state == PairState::gone) return PairState::gone;
    if (pair.turned_down_because || slot.now.settled == Decision::discard) return PairState::turned_down;
    if (!pair.questions.empty() && slot.now.away) return PairState::asking;
    if (slot.now.settled == Decision::ask) return PairState::asking;
    if (slot.now.settled == Decision::keep)
        return slot.number.empty() ? PairState::decided : PairState::labelled;
    return pair.has_both() ? PairState::complete : PairState::open;
}

bool has_reading(const Content& content) {
    return content.pair.right || content.pair.left || !content.held.empty();
}

record::Eye awaited_in(const record::Pair& pair) {
    return pair.right ? record::Eye::left : record::Eye::right;
}

bool agree(const record::LensReading& older, const record::LensReading& newer) {
    constexpr double most = 0.25;  // D; one step of an instrument
    if (optics::is_over(optics::difference_in_any_meridian(older.power, newer.power), most)) return false;
    if (!older.addition) return true;
    if (!newer.addition) return false;
    const optics::Dioptre change = *newer.addition - *older.addition;
    return !optics::is_over(change.value(), most) && !optics::is_over(-change.value(), most);
}

bool is_more_plus(const record::LensReading& here, const record::LensReading& there) {
    constexpr double least = 0.50;  // D
    const optics::PowerVector gained = optics::to_vector(there.power) - optics::to_vector(here.power);
    return !optics::is_under(gained.m - std::hypot(gained.j0, gained.j45), least);
}

}  // namespace pairmark::pairing
