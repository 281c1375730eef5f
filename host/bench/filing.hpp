// Where pairs are filed, so that stock can be found again. Pure: a function of what was filed and freed
// before.
#pragma once

#include <cstdint>
#include <optional>
#include <set>
#include <string>
#include <unordered_map>
#include <vector>

#include "host/optics/power.hpp"

namespace pairmark::bench {

/// Boxes that fill in order: the first `slots` pairs in box 1, and so on.
struct Boxes {
    std::string name = "Box";
    int slots = 50;  // 1 to 1000
    friend bool operator==(const Boxes&, const Boxes&) = default;
};

/// The n-th slot, counted from 1: "Box 2-07".
std::string place_of(const Boxes& boxes, std::int64_t nth);
/// The slot that `place` names in these boxes; nullopt if it is none of theirs.
std::optional<std::int64_t> slot_of(const Boxes& boxes, const std::string& place);

/// boxes: in the lowest slot that is free. power: by the right lens, then by number.
enum class FilingBy { boxes, power };
struct FilingPlan {
    FilingBy by = FilingBy::boxes;
    Boxes boxes;
    friend bool operator==(const FilingPlan&, const FilingPlan&) = default;
};

/// The band of a lens: the sign of its spherical equivalent (sphere and half the cylinder), then its size cut
/// down to a multiple of 0.50 D. Zero counts as plus. -1.50 to -1.875 is "MINUS 1.50"; -0.125 is "MINUS
/// 0.00"; 0 to 0.375 is "PLUS 0.00".
std::string power_band(const optics::Power& right);

/// Which slots are taken, by whom. A slot that was freed is the first to be given again, lowest first; a pair
/// that had one gets it back as long as nobody else has it. No call looks through all pairs but `use` with
/// another plan.
class Filing {
  public:
    void use(const FilingPlan& plan);

    /// Where the pair goes when it gets the label with this counter. `right` as on the label. Takes nothing
    /// yet.
    std::string place_for(std::int64_t pair, const optics::Power& right, std::int64_t counter) const;
    /// The pair lies at this place. Pairs are numbered from 1.
    void file(std::int64_t pair, const std::string& place);
    /// The pair is not in stock: what it had is free.
    void take_out(std::int64_t pair);
    /// Where the pair was filed last, in stock or not; empty: nowhere yet.
    std::string place(std::int64_t pair) const;

  private:
    std::int64_t own_slot(std::int64_t pair) const;
    std::int64_t holder(std::int64_t slot) const;
    void hold(std::int64_t slot, std::int64_t pair);

    FilingPlan plan_;
    std::vector<std::string> places_;  // of each pair when it was filed last; empty: never
    std::vector<bool> in_stock_;       // likewise
    std::unordered_map<std::int64_t, std::int64_t> holders_;  // slot of the boxes in force to pair
    std::set<std::int64_t> freed_;                            // free slots below `fresh_`
    std::int64_t fresh_ = 1;                                  // the lowest free slot that was not freed
};

}  // namespace pairmark::bench
