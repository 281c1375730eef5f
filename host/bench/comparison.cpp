#include "host/bench/comparison.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "host/label/render.hpp"
#include "host/record/words.hpp"
#include "host/store/generation.hpp"

namespace pairmark::bench {
namespace {

using record::PrintOutcome;
using store::IntentRow;
using store::LabelRow;
using store::StoredPair;

constexpr const char* void_word = "void";
constexpr const char* write_right =
    "with the daemon stopped, `pairmark verify --put-right` writes it anew from the events";
constexpr const char* look_back =
    "keep the files as they are and compare with the newest copy; nothing here can tell what is right";

/// True if a document with this outcome may still go out by itself.
bool may_still_go_out(PrintOutcome outcome) {
    return outcome == PrintOutcome::waiting || outcome == PrintOutcome::sending ||
           outcome == PrintOutcome::failed || outcome == PrintOutcome::held;
}

bool came_out(PrintOutcome outcome) {
    return outcome == PrintOutcome::printed || outcome == PrintOutcome::confirmed;
}

bool same_pair(const StoredPair& a, const StoredPair& b) {
    return a.state == b.state && a.body == b.body && a.verdict == b.verdict;
}

/// The members in which two rows of one number differ, for people.
std::string members_apart(const LabelRow& a, const LabelRow& b, bool facts_too) {
    std::string names;
    const auto add = [&names](bool differs, const char* name) {
        if (differs) names += (names.empty() ? "" : ", ") + std::string(name);
    };
    add(a.pair != b.pair, "pair");
    add(a.series != b.series, "series");
    add(a.counter != b.counter, "counter");
    add(a.date != b.date, "date");
    add(a.place != b.place, "place");
    add(facts_too && a.facts != b.facts, "what stands on it");
    return names;
}

/// Finds differences and, where it may write, puts them right as it goes.
class Comparison {
  public:
    Comparison(const store::Store& store, const Derived& right, const std::vector<WrongIndex>& wrong_index,
               store::Store* writes)
        : store_(store),
          right_(right),
          wrong_index_(wrong_index),
          writes_(writes),
          imported_to_(store.imported_to()) {}

    std::vector<StoreDifference> run() {
        events();
        pairs();
        labels();
        intents();
        numbers_to_come();
        quarantine();
        return std::move(found_);
    }

  private:
    void differs(std::string what, std::string where) {
        found_.push_back({std::move(what), std::move(where), write_right, true});
    }
    void for_a_person(std::string what, std::string where, const char* next = look_back) {
        found_.push_back({std::move(what), std::move(where), next, false});
    }

    void events() {
        for (const Oddity& odd : right_.oddities)
            for_a_person(
                odd.say, "event " + std::to_string(odd.event),
                "look into the session around it (`pairmark session show`), and whether an envelope bears "
                "that number");
        for (const WrongIndex& wrong : wrong_index_)
            differs("its adapter, epoch and number are not kept as the event itself says them",
                    "event " + std::to_string(wrong.event) + ", table \"event\"");
        if (writes_ == nullptr) return;
        // First all off, then all on: two events may have each other's.
        for (const WrongIndex& wrong : wrong_index_)
            writes_->put_event_index(wrong.event, std::nullopt);
        for (const WrongIndex& wrong : wrong_index_)
            writes_->put_event_index(wrong.event, wrong.right);
    }

    void pairs() {
        std::map<std::int64_t, StoredPair> rows;
        for (StoredPair& row : store_.pairs())
            rows.emplace(row.id, std::move(row));
        std::set<std::int64_t> referred;
        for (const LabelRow& label : store_.label_rows())
            referred.insert(label.pair);
        const std::vector<DerivedPair>& derived = right_.pairs;
        for (std::size_t i = 0; i < derived.size(); ++i) {
            const auto id = static_cast<std::int64_t>(i) + 1;
            const auto row = rows.find(id);
            pair(id, derived[i], row == rows.end() ? nullptr : &row->second, referred.contains(id));
        }
        for (const auto& [id, row] : rows)
            if (id < 1 || id > static_cast<std::int64_t>(derived.size()))
                pair(id, {}, &row, referred.contains(id));
    }

    void pair(std::int64_t id, const DerivedPair& right, const StoredPair* row, bool referred) {
        const std::string where = "pair " + std::to_string(id) + ", table \"pair\"";
        if (row == nullptr) {
            if (!right.needs_row) return;
            differs("the pair is not there", where);
        } else if (right.rows.empty()) {
            // A number that no event gave is never removed, and it holds its pair's row.
            if (referred) return;
            differs("there is a pair that the events do not know", where);
            if (writes_ != nullptr) writes_->remove_pair_row(id);
            return;
        } else if (std::none_of(right.rows.begin(), right.rows.end(),
                                [row](const StoredPair& one) { return same_pair(one, *row); })) {
            differs("the pair stands there as " + record::in_quotes(row->state) +
                        (row->state == right.rows.back().state
                             ? ", but not as the events left it"
                             : "; the events left it " + right.rows.back().state),
                    where);
        } else if (row->last_event < 1 || row->last_event > right_.events) {
            differs("the pair names event " + std::to_string(row->last_event) + ", which is none", where);
        } else {
            return;
        }
        if (writes_ != nullptr) writes_->put_pair_row(right.rows.back());
    }

    void labels() {
        std::map<std::string, LabelRow> rows;
        for (LabelRow& row : store_.label_rows())
            rows.emplace(row.number, std::move(row));
        std::set<std::pair<std::string, std::int64_t>> given;
        std::set<std::string> known;
        std::vector<const DerivedLabel*> to_write;
        for (const DerivedLabel& label : right_.labels) {
            given.emplace(label.row.series, label.row.counter);
            known.insert(label.row.number);
            const auto row = rows.find(label.row.number);
            if (label_differs(label, row == rows.end() ? nullptr : &row->second)) to_write.push_back(&label);
        }
        for (const auto& [number, row] : rows)
            if (!known.contains(number)) label_without_event(row, given.contains({row.series, row.counter}));
        if (writes_ == nullptr) return;
        for (const DerivedLabel* label : to_write)
            writes_->unsettle_label_row(label->row.number);
        for (const DerivedLabel* label : to_write)
            if (label->was_kept || rows.contains(label->row.number)) writes_->put_label_row(label->row);
    }

    bool label_differs(const DerivedLabel& label, const LabelRow* row) {
        const std::string where = "label " + record::in_quotes(label.row.number) + ", event " +
                                  std::to_string(label.event) + ", table \"label\"";
        if (row == nullptr) {
            // Of one that labels nothing there is an oddity already, and no pair's row that it could belong
            // to.
            if (!label.was_kept) return false;
            differs("the number was given, but is not there", where);
            return true;
        }
        bool apart = false;
        if (const std::string members = members_apart(*row, label.row, label.was_kept); !members.empty()) {
            differs("the label does not say what the events say: " + members, where);
            apart = true;
        }
        if (row->state != label.row.state) {
            differs(label.row.state == void_word
                        ? "the number is void by the events, but stands there as valid"
                        : "the number is valid by the events, but stands there as void",
                    where);
            apart = true;
        }
        return apart;
    }

    void label_without_event(const LabelRow& row, bool is_another_numbers) {
        const std::string where = "label " + record::in_quotes(row.number) + ", table \"label\"";
        if (is_another_numbers) {
            differs(
                "a label stands there under a number that no event gave, with the counter of one that was "
                "given",
                where);
            if (writes_ != nullptr) writes_->remove_label_row(row.number);
            return;
        }
        if (row.state == void_word) return;  // nobody may take it for a label, and it is never given again
        differs("no event gave this number", where);
        if (writes_ == nullptr) return;
        LabelRow made_void = row;
        made_void.state = void_word;
        writes_->put_label_row(made_void);
    }

    void intents() {
        std::map<std::string, const DerivedLabel*> given;
        for (const DerivedLabel& label : right_.labels)
            given.emplace(label.row.number, &label);
        std::set<std::string> labels;
        for (const LabelRow& row : store_.label_rows())
            labels.insert(row.number);
        std::set<std::string> first_prints;
        for (const IntentRow& row : store_.intent_rows()) {
            if (row.copy == 0) first_prints.insert(row.label);
            const auto label = given.find(row.label);
            if (label != given.end())
                intent(row, *label->second);
            else
                intent_without_number(row, labels.contains(row.label));
        }
        for (const DerivedLabel& label : right_.labels)
            // What was imported is printed where it was measured.
            if (label.was_kept && label.event > imported_to_ && !first_prints.contains(label.row.number))
                lost_intent(label);
    }

    static std::string place_of(const IntentRow& row) {
        return "print intent " + std::to_string(row.id) + " of label " + record::in_quotes(row.label) +
               ", table \"intent\"";
    }

    std::optional<PrintOutcome> told(const std::string& number, std::int64_t copy) const {
        const auto found = right_.printed.find({number, copy});
        if (found == right_.printed.end()) return std::nullopt;
        return record::print_outcome(found->second);
    }

    void intent(const IntentRow& row, const DerivedLabel& label) {
        if (row.copy == 0 && (row.pair != label.row.pair || row.rules_hash != label.rules_hash)) {
            differs("the print intent names another pair, or other rules, than the events", place_of(row));
            if (writes_ != nullptr) writes_->put_intent_row(row.id, label.row.pair, label.rules_hash);
        }
        const auto outcome = record::print_outcome(row.outcome);
        const auto told_outcome = told(row.label, row.copy);
        if (!outcome) {
            differs("its outcome " + record::in_quotes(row.outcome) + " is none", place_of(row));
            set(row, told_outcome.value_or(PrintOutcome::in_doubt));
        } else if (label.row.state == void_word) {
            if (!may_still_go_out(*outcome)) return;
            differs("its number is void, but it could still be printed", place_of(row));
            set(row, PrintOutcome::void_);
        } else if (told_outcome && came_out(*told_outcome) && !came_out(*outcome)) {
            differs("it came out by the events, but stands there as " + row.outcome, place_of(row));
            set(row, *told_outcome);
        } else if (came_out(*outcome) && !(told_outcome && came_out(*told_outcome))) {
            differs("it stands there as " + row.outcome + ", but no event says so", place_of(row));
            set(row, PrintOutcome::in_doubt);
        }
    }

    void intent_without_number(const IntentRow& row, bool has_label) {
        if (!has_label) {
            differs("there is no such label", place_of(row));
            if (writes_ == nullptr) return;
            writes_->remove_intent_row(row.id);
            // The number may be on paper, and no row holds it any more: no later one may be the same.
            writes_->go_on_after(store_.series());
            return;
        }
        const auto outcome = record::print_outcome(row.outcome);
        if (outcome && !may_still_go_out(*outcome)) return;
        differs("no event gave its number, but it could still be printed", place_of(row));
        set(row, PrintOutcome::void_);
    }

    void set(const IntentRow& row, PrintOutcome outcome) {
        if (writes_ == nullptr) return;
        (void)writes_->set_outcome(row.id, outcome,
                                   outcome == PrintOutcome::in_doubt
                                       ? "put right after damage; look whether the label is on its envelope"
                                       : "put right from the events");
    }

    void lost_intent(const DerivedLabel& label) {
        const std::string where = "label " + record::in_quotes(label.row.number) + ", table \"intent\"";
        record::PrintIntent intent;
        try {
            intent.document = label::render_document(label.facts, label.paper);
        } catch (const std::runtime_error& fault) {
            return for_a_person(
                std::string("its document is lost and cannot be drawn again: ") + fault.what(), where);
        }
        differs("its print intent is lost", where);
        if (writes_ == nullptr) return;
        intent.pair = label.row.pair;
        intent.facts = label.facts;
        intent.rules_hash = label.rules_hash;
        intent.outcome = label.row.state == void_word
                             ? PrintOutcome::void_
                             : told(label.row.number, 0).value_or(PrintOutcome::in_doubt);
        intent.say = "made again from the events; look whether the label is on its envelope";
        (void)writes_->put_intent(intent);
    }

    /// No number may come twice. After the labels: what was put right there counts.
    void numbers_to_come() {
        std::map<std::string, std::int64_t> highest;
        std::string latest;
        std::string latest_imported;
        for (const DerivedLabel& label : right_.labels) {
            std::int64_t& counter = highest[label.row.series];
            counter = std::max(counter, label.row.counter);
            latest = store::later_series(latest, label.row.series);
            if (label.event <= imported_to_)
                latest_imported = store::later_series(latest_imported, label.row.series);
        }
        const std::string own = store_.series();
        if (writes_ == nullptr)
            for (const auto& [series, counter] : highest)
                if (store_.next_counter(series) <= counter)
                    differs("the next number of series " + series + " would have counter " +
                                std::to_string(store_.next_counter(series)) + "; " + std::to_string(counter) +
                                " was given already",
                            "series " + series + ", table \"label\"");
        if (store::later_series(own, latest) != own) {
            differs("the numbers to come are in series " + own + ", but numbers of series " + latest +
                        " were given already",
                    "\"series\", table \"meta\"");
            if (writes_ != nullptr) writes_->go_on_after(latest);
        } else if (!latest_imported.empty() && store::later_series(latest_imported, own) == latest_imported) {
            differs("the numbers to come are in series " + own +
                        ", in which another bench gave the imported numbers",
                    "\"series\", table \"meta\"");
            if (writes_ != nullptr) writes_->go_on_after(latest_imported);
        }
    }

    void quarantine() {
        for (const store::Quarantined& one : store_.quarantined())
            if (store_.find({one.adapter, one.epoch, one.number, one.record_crc}) != store::Known::clash)
                for_a_person(
                    "an event was set apart because it clashed with a stored one, but that one is not there",
                    "quarantine " + std::to_string(one.id) + ", adapter " + record::in_quotes(one.adapter) +
                        ", epoch " + std::to_string(one.epoch) + ", number " + std::to_string(one.number));
    }

    const store::Store& store_;
    const Derived& right_;
    const std::vector<WrongIndex>& wrong_index_;
    store::Store* writes_;
    std::int64_t imported_to_;
    std::vector<StoreDifference> found_;
};

}  // namespace

std::vector<StoreDifference> compare(const store::Store& store, const Derived& right,
                                     const std::vector<WrongIndex>& wrong_index, store::Store* writes) {
    return Comparison(store, right, wrong_index, writes).run();
}

}  // namespace pairmark::bench
