#include "host/grading/bounds.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "host/grading/state.hpp"
#include "host/record/mark.hpp"

namespace pairmark::grading {

namespace {

using Kind = Condition::Kind;

const record::MarkWord* find_mark(const std::string& name) {
    const auto vocabulary = record::mark_vocabulary();
    const auto found = std::find_if(vocabulary.begin(), vocabulary.end(),
                                    [&name](const record::MarkWord& mark) { return mark.name == name; });
    return found == vocabulary.end() ? nullptr : &*found;
}

std::vector<std::string> all_but(const std::vector<std::string>& some,
                                 std::span<const std::string_view> all) {
    std::vector<std::string> others;
    for (const std::string_view value : all)
        if (std::find(some.begin(), some.end(), value) == some.end()) others.emplace_back(value);
    return others;
}

Condition opposite(Condition condition);

/// The same condition with negations only before marks that take any text.
Condition without_negations(Condition condition) {
    if (condition.kind == Kind::negation) return opposite(std::move(condition.parts.front()));
    for (Condition& part : condition.parts)
        part = without_negations(std::move(part));
    return condition;
}

/// What holds exactly where `condition` does not.
Condition opposite(Condition condition) {
    switch (condition.kind) {
        case Kind::quantity:
            condition.bound = condition.bound == Bound::over       ? Bound::at_most
                              : condition.bound == Bound::at_most  ? Bound::over
                              : condition.bound == Bound::at_least ? Bound::under
                                                                   : Bound::at_least;
            if (condition.lenses == Lenses::either)
                condition.lenses = Lenses::both;
            else if (condition.lenses == Lenses::both)
                condition.lenses = Lenses::either;
            return condition;
        case Kind::mark: {
            const record::MarkWord* mark = find_mark(condition.mark);
            if (mark == nullptr || mark->values.empty() || !mark->form.empty()) {
                Condition not_so;
                not_so.kind = Kind::negation;
                not_so.parts.push_back(std::move(condition));
                return not_so;
            }
            condition.values = all_but(condition.values, mark->values);
            return condition;
        }
        case Kind::state:
            condition.values = all_but(condition.values, find_state(condition.mark)->values);
            return condition;
        case Kind::negation:
            return without_negations(std::move(condition.parts.front()));
        default:
            condition.kind = condition.kind == Kind::all ? Kind::any : Kind::all;
            for (Condition& part : condition.parts)
                part = opposite(std::move(part));
            return condition;
    }
}

/// What is left of a quantity's values after some limits.
struct Range {
    double least;
    double most;
    bool without_least = false;
    bool without_most = false;

    void cut(Bound bound, double limit) {
        if (bound == Bound::over || bound == Bound::at_least) {
            const bool open = bound == Bound::over;
            if (limit > least || (limit == least && open)) {
                least = limit;
                without_least = open;
            }
        } else {
            const bool open = bound == Bound::under;
            if (limit < most || (limit == most && open)) {
                most = limit;
                without_most = open;
            }
        }
    }
    bool is_empty() const { return least > most || (least == most && (without_least || without_most)); }
};

Range range_of(Quantity quantity) {
    return {word_of(quantity).least, word_of(quantity).most};
}

/// Everything that the parts of one `all` say together of a lens's quantity or of a mark.
class Together {
  public:
    void add(const Condition& condition) {
        if (condition.kind == Kind::all) {
            for (const Condition& part : condition.parts)
                add(part);
        } else if (condition.kind == Kind::mark || condition.kind == Kind::state) {
            std::set<std::string> values(condition.values.begin(), condition.values.end());
            const auto [known, is_new] = marks_.emplace(condition.mark, values);
            if (!is_new)
                std::erase_if(known->second, [&values](const auto& one) { return !values.contains(one); });
        } else if (condition.kind == Kind::quantity && condition.lenses != Lenses::left) {
            cut(condition, Lenses::right);
        }
        if (condition.kind == Kind::quantity && condition.lenses != Lenses::right)
            cut(condition, Lenses::left);
    }

    bool is_impossible() const {
        return std::any_of(ranges_.begin(), ranges_.end(),
                           [](const auto& one) { return one.second.is_empty(); }) ||
               std::any_of(marks_.begin(), marks_.end(), [](const auto& one) { return one.second.empty(); });
    }

  private:
    void cut(const Condition& condition, Lenses lens) {
        const bool of_one_lens = word_of(condition.quantity).of_one_lens;
        // One lens may fulfil this part, the other that one.
        if (of_one_lens && condition.lenses == Lenses::either) return;
        const auto key =
            std::tuple(condition.quantity, of_one_lens ? lens : Lenses::both, condition.measured);
        ranges_.emplace(key, range_of(condition.quantity))
            .first->second.cut(condition.bound, condition.limit);
    }

    std::map<std::tuple<Quantity, Lenses, bool>, Range> ranges_;
    std::map<std::string, std::set<std::string>> marks_;
};

/// Of a condition without negations.
bool is_impossible(const Condition& condition) {
    switch (condition.kind) {
        case Kind::quantity: {
            Range range = range_of(condition.quantity);
            range.cut(condition.bound, condition.limit);
            return range.is_empty();
        }
        case Kind::mark:
        case Kind::state:
            return condition.values.empty();
        case Kind::any:
            return std::all_of(condition.parts.begin(), condition.parts.end(), is_impossible);
        case Kind::all: {
            Together together;
            together.add(condition);
            return together.is_impossible() ||
                   std::any_of(condition.parts.begin(), condition.parts.end(), is_impossible);
        }
        default:
            return false;
    }
}

}  // namespace

bool can_never_hold(const Condition& condition) {
    return is_impossible(without_negations(condition));
}

bool always_holds(const Condition& condition) {
    return is_impossible(opposite(condition));
}

}  // namespace pairmark::grading
