#include "host/bench/rules_table.hpp"

#include <algorithm>
#include <functional>
#include <set>

#include "host/bench/columns.hpp"
#include "host/bench/csv.hpp"
#include "host/grading/typical_pairs.hpp"
#include "host/label/words.hpp"

namespace pairmark::bench {
namespace {

using optics::Dioptre;
using optics::Power;
using record::Pair;

Power lens(int sphere, int cylinder = 0, int axis = 0) {
    return {Dioptre::hundredths(sphere), Dioptre::hundredths(cylinder),
            cylinder == 0 ? 0.0 : static_cast<double>(axis)};
}

/// A number as a spreadsheet and a person read it.
std::string plain(int hundredths) {
    std::string text = label::text_of(Dioptre::hundredths(hundredths), label::plain_signs);
    if (text.front() == '+') text.erase(0, 1);
    return text;
}

class Table {
  public:
    explicit Table(const grading::Rules& rules) : rules_(rules) {}

    /// One series whose value runs from `first` to `last` in hundredths.
    void run(const std::string& series, int first, int last, int step, const std::function<Pair(int)>& pair) {
        begin(series);
        for (int value = first; step > 0 ? value <= last : value >= last; value += step)
            add(plain(value), pair(value));
    }
    void begin(const std::string& series) {
        series_ = series;
        is_first_ = true;
    }
    void add(const std::string& value, const Pair& pair, bool joins = true) {
        const record::Verdict verdict = grading::grade_at_bench(rules_, pair);
        const auto deciding =
            std::find_if(verdict.reasons.begin(), verdict.reasons.end(),
                         [&](const record::Reason& reason) { return reason.decision == verdict.decision; });
        RulesRow row{series_,      value,
                     value,        verdict.decision,
                     verdict.tray, deciding == verdict.reasons.end() ? std::string() : deciding->rule};
        if (joins && !is_first_) {
            RulesRow& last = rows_.back();
            if (last.verdict == row.verdict && last.tray == row.tray && last.rule == row.rule) {
                last.to = value;
                return;
            }
        }
        is_first_ = false;
        rows_.push_back(std::move(row));
    }
    Pair typical(const Power& right, const Power& left) const {
        return grading::typical_pair(right, left, rules_.granted_marks);
    }
    std::vector<RulesRow> rows() && { return std::move(rows_); }

  private:
    const grading::Rules& rules_;
    std::string series_;
    bool is_first_ = true;
    std::vector<RulesRow> rows_;
};

void add_equal_lenses(Table& table) {
    table.run("both lenses alike, no cylinder; sphere, D", -2000, 2000, 25,
              [&](int sphere) { return table.typical(lens(sphere), lens(sphere)); });
    for (const int sphere : {-800, -200, 200})
        table.run("both lenses alike, sphere " + plain(sphere) + ", axis 180; cylinder, D", 0, -600, -25,
                  [&](int cylinder) {
                      return table.typical(lens(sphere, cylinder, 180), lens(sphere, cylinder, 180));
                  });
}

void add_differences(Table& table) {
    table.run("right -2.00, left more minus; difference, D", 0, 600, 25,
              [&](int by) { return table.typical(lens(-200), lens(-200 - by)); });
    table.run("right 2.00, left more plus; difference, D", 0, 600, 25,
              [&](int by) { return table.typical(lens(200), lens(200 + by)); });
    table.run("both spheres -2.00, left with a cylinder, axis 180; cylinder, D", 0, -600, -25,
              [&](int cylinder) { return table.typical(lens(-200), lens(-200, cylinder, 180)); });
    table.run("both spheres -2.00, left with a cylinder, axis 090; cylinder, D", 0, -600, -25,
              [&](int cylinder) { return table.typical(lens(-200), lens(-200, cylinder, 90)); });
    table.run(
        "both -2.00, right with a cylinder at 180, left with the same at 090; cylinder, D", 0, -600, -25,
        [&](int cylinder) { return table.typical(lens(-200, cylinder, 180), lens(-200, cylinder, 90)); });
    table.run("right without power, left with some; sphere, D", -400, 400, 25,
              [&](int sphere) { return table.typical(lens(0), lens(sphere)); });
}

void add_additions(Table& table) {
    table.run("both lenses 1.00 with one addition; addition, D", 0, 400, 25, [&](int addition) {
        Pair pair = table.typical(lens(100), lens(100));
        for (const record::Eye eye : {record::Eye::right, record::Eye::left})
            pair.lens(eye)->reading.addition = Dioptre::hundredths(addition);
        return pair;
    });
}

void find_marks(const grading::Condition& condition, std::set<std::string>& marks) {
    if (condition.kind == grading::Condition::Kind::mark) marks.insert(condition.mark);
    for (const grading::Condition& part : condition.parts)
        find_marks(part, marks);
}

void add_marks(Table& table, const grading::Rules& rules) {
    std::set<std::string> used;
    for (const grading::Rule& rule : rules.rules)
        find_marks(rule.when, used);
    if (rules.gold_tray) used.insert("gold");
    table.begin("both lenses -2.00; mark");
    for (const record::MarkWord& mark : record::mark_vocabulary()) {
        if (!used.contains(std::string(mark.name))) continue;
        for (const std::string_view value : mark.values) {
            Pair pair = table.typical(lens(-200), lens(-200));
            pair.marks[std::string(mark.name)] = value;
            table.add(std::string(mark.name) + "=" + std::string(value), pair, false);
        }
    }
}

std::string range_of(const RulesRow& row) {
    constexpr std::size_t number_width = 6;
    return row.from == row.to ? row.from : padded(row.from, number_width) + " to " + row.to;
}

}  // namespace

std::vector<RulesRow> rules_table(const grading::Rules& rules) {
    Table table(rules);
    add_equal_lenses(table);
    add_differences(table);
    add_additions(table);
    add_marks(table, rules);
    return std::move(table).rows();
}

std::string text_of(const std::vector<RulesRow>& rows) {
    std::size_t tray = 0;
    for (const RulesRow& row : rows)
        tray = std::max(tray, characters(row.tray));
    std::string text;
    for (auto begin = rows.begin(); begin != rows.end();) {
        const auto end = std::find_if(begin, rows.end(),
                                      [begin](const RulesRow& row) { return row.series != begin->series; });
        std::size_t widest = 0;
        for (auto row = begin; row != end; ++row)
            widest = std::max(widest, characters(range_of(*row)));
        text += begin->series + "\n";
        for (auto row = begin; row != end; ++row)
            text += "  " + padded(range_of(*row), std::max<std::size_t>(widest, 16) + 2) +
                    padded(std::string(record::word(row->verdict)), 9) + padded(row->tray, tray + 2) +
                    (row->rule.empty() ? "-" : row->rule) + "\n";
        begin = end;
    }
    return text;
}

std::string csv_of(const std::vector<RulesRow>& rows) {
    std::string text = "series,from,to,verdict,tray,rule\r\n";
    for (const RulesRow& row : rows) {
        // A number stays one, with its minus; anything else is words.
        const bool is_number = row.from.find_first_not_of("-.0123456789") == std::string::npos;
        const auto value = [is_number](const std::string& one) { return is_number ? one : words_cell(one); };
        text += words_cell(row.series) + "," + value(row.from) + "," + value(row.to) + "," +
                std::string(record::word(row.verdict)) + "," + words_cell(row.tray) + "," +
                words_cell(row.rule) + "\r\n";
    }
    return text;
}

}  // namespace pairmark::bench
