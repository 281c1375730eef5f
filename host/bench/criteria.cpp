#include "host/bench/criteria.hpp"

#include <set>

#include "host/grading/in_words.hpp"
#include "host/record/mark.hpp"
#include "host/record/sha256.hpp"

namespace pairmark::bench {
namespace {

void find_marks(const grading::Condition& condition, std::set<std::string_view>& marks) {
    if (condition.kind == grading::Condition::Kind::mark) marks.insert(condition.mark);
    for (const grading::Condition& part : condition.parts)
        find_marks(part, marks);
}

const std::string& tray_of(const grading::Rules& rules, const grading::Rule& rule) {
    if (!rule.tray.empty()) return rule.tray;
    return rule.verdict == record::Decision::discard ? rules.trays.discard
           : rule.verdict == record::Decision::ask   ? rules.trays.ask
                                                     : rules.trays.keep;
}

}  // namespace

record::Criteria criteria_of(const grading::Rules& rules, const std::string& programme,
                             bool looked_over_at_bench) {
    record::Criteria criteria;
    criteria.programme = programme;
    criteria.rules_name = rules.name;
    criteria.rules_date = rules.date;
    criteria.rules_hash = record::sha256(rules.hash_text);
    criteria.looked_over_at_bench = looked_over_at_bench;
    criteria.keep_tray = rules.trays.keep;
    criteria.discard_tray = rules.trays.discard;
    criteria.ask_tray = rules.trays.ask;
    criteria.gold_tray = rules.gold_tray;
    std::set<std::string_view> used;
    if (rules.gold_tray) used.insert("gold");
    for (const grading::Rule& rule : rules.rules) {
        criteria.rules.push_back(
            {rule.id, rule.verdict, rule.say, grading::in_words(rule.when), tray_of(rules, rule)});
        find_marks(rule.when, used);
    }
    for (const record::MarkWord& mark : record::mark_vocabulary())
        if (used.contains(mark.name)) criteria.marks.emplace_back(mark.name);
    return criteria;
}

}  // namespace pairmark::bench
