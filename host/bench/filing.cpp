#include "host/bench/filing.hpp"

#include <cstdlib>

namespace pairmark::bench {
namespace {

std::string in_digits(std::int64_t number, std::size_t least) {
    std::string digits = std::to_string(number);
    if (digits.size() < least) digits.insert(0, least - digits.size(), '0');
    return digits;
}

std::optional<std::int64_t> number_from(const std::string& digits) {
    if (digits.empty() || digits.size() > 9 || digits.find_first_not_of("0123456789") != std::string::npos)
        return std::nullopt;
    return std::stoll(digits);
}

}  // namespace

std::string place_of(const Boxes& boxes, std::int64_t nth) {
    const std::int64_t box = (nth - 1) / boxes.slots + 1;
    return boxes.name + " " + std::to_string(box) + "-" + in_digits((nth - 1) % boxes.slots + 1, 2);
}

std::optional<std::int64_t> slot_of(const Boxes& boxes, const std::string& place) {
    const std::size_t blank = place.rfind(' ');
    const std::size_t dash = place.rfind('-');
    if (blank == std::string::npos || dash == std::string::npos || dash < blank) return std::nullopt;
    const auto box = number_from(place.substr(blank + 1, dash - blank - 1));
    const auto slot = number_from(place.substr(dash + 1));
    if (!box || !slot || *box < 1) return std::nullopt;
    const std::int64_t nth = (*box - 1) * boxes.slots + *slot;
    // Written again, it must be the same: "Box 1-7", or slot 45 of boxes with 40, names none of these.
    if (nth < 1 || place_of(boxes, nth) != place) return std::nullopt;
    return nth;
}

std::string power_band(const optics::Power& right) {
    constexpr std::int64_t band = 500'000;
    const std::int64_t doubled = 2 * right.sphere.in_millionths() + right.cylinder.in_millionths();
    const std::int64_t halves = std::llabs(doubled) / (2 * band);
    return (doubled < 0 ? "MINUS " : "PLUS ") + std::to_string(halves / 2) +
           (halves % 2 == 0 ? ".00" : ".50");
}

void Filing::use(const FilingPlan& plan) {
    if (plan == plan_) return;
    plan_ = plan;
    holders_.clear();
    freed_.clear();
    fresh_ = 1;
    for (std::size_t i = 0; i < places_.size(); ++i) {
        const auto pair = static_cast<std::int64_t>(i) + 1;
        if (const std::int64_t slot = own_slot(pair); slot != 0 && in_stock_[i]) hold(slot, pair);
    }
}

std::int64_t Filing::own_slot(std::int64_t pair) const {
    if (pair < 1 || pair > static_cast<std::int64_t>(places_.size())) return 0;
    return slot_of(plan_.boxes, places_[static_cast<std::size_t>(pair - 1)]).value_or(0);
}

std::int64_t Filing::holder(std::int64_t slot) const {
    const auto found = holders_.find(slot);
    return found == holders_.end() ? 0 : found->second;
}

void Filing::hold(std::int64_t slot, std::int64_t pair) {
    holders_.insert_or_assign(slot, pair);
    freed_.erase(slot);
    while (holders_.contains(fresh_))
        ++fresh_;
}

std::string Filing::place_for(std::int64_t pair, const optics::Power& right, std::int64_t counter) const {
    if (plan_.by == FilingBy::power) return power_band(right) + " " + in_digits(counter, 5);
    const std::int64_t own = own_slot(pair);
    if (own != 0 && (holder(own) == pair || holder(own) == 0)) return place_of(plan_.boxes, own);
    return place_of(plan_.boxes, freed_.empty() ? fresh_ : *freed_.begin());
}

void Filing::file(std::int64_t pair, const std::string& place) {
    if (pair < 1) return;
    take_out(pair);
    const auto index = static_cast<std::size_t>(pair - 1);
    if (index >= places_.size()) {
        places_.resize(index + 1);
        in_stock_.resize(index + 1, false);
    }
    places_[index] = place;
    in_stock_[index] = true;
    if (const std::int64_t slot = own_slot(pair); slot != 0) hold(slot, pair);
}

void Filing::take_out(std::int64_t pair) {
    if (pair < 1 || pair > static_cast<std::int64_t>(places_.size())) return;
    in_stock_[static_cast<std::size_t>(pair - 1)] = false;
    const std::int64_t slot = own_slot(pair);
    if (slot == 0 || holder(slot) != pair) return;
    holders_.erase(slot);
    if (slot < fresh_) freed_.insert(slot);
}

std::string Filing::place(std::int64_t pair) const {
    if (pair < 1 || pair > static_cast<std::int64_t>(places_.size())) return {};
    return places_[static_cast<std::size_t>(pair - 1)];
}

}  // namespace pairmark::bench
