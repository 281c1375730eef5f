// Whatever happens in whatever order: what must hold. A failure names the seed that shows it again.
#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "tests/pairing/random_day.hpp"

namespace pairmark::pairing::testing {

namespace {

constexpr unsigned days = 20'000;
constexpr int events_a_day = 24;

/// Watches a day and names the first thing that went wrong.
class Watch {
  public:
    explicit Watch(RandomDay& random) : random_(random), table_(random.day.table) {}

    std::string wrong;

    void before() {
        seen_.clear();
        label_.clear();
        for (std::int64_t id = 1; id <= table_.count(); ++id) {
            seen_.push_back(seen(table_, id));
            label_.push_back(table_.number(id));
            restart_asked_[id] = random_.day.asks(id, "after-restart");
        }
        awaited_ = table_.awaited();
        where_before_ = where_;
    }

    void after(const RandomDay::Happened& happened) {
        if (happened.kind == RandomDay::Kind::reading) boot_[happened.event] = random_.boots;
        check_readings(happened);
        check_changes();
        check_labels();
        check_restarts(happened);
        if (happened.kind == RandomDay::Kind::reading) check_settled_rest();
    }

    void check_labels() {
        for (std::int64_t id = 1; id <= table_.count(); ++id) {
            const record::Pair& pair = *table_.find(id);
            const std::string& number = table_.number(id);
            const bool settled = pair.state == PairState::decided || pair.state == PairState::labelled;
            expect(settled || number.empty(), "a pair that is not decided bears a label", id);
            if (!settled) continue;
            expect((pair.state == PairState::labelled) == !number.empty(), "labelled without a number", id);
            expect(pair.questions.empty(), "a questioned pair is decided", id);
            expect(pair.has_both(), "half a pair is decided", id);
            expect(!pair.late, "a held pair is decided", id);
            expect(pair.looked_over, "a pair that nobody looked over is decided", id);
            expect(!void_.contains(number), "a void number labels a pair", id);
        }
    }

  private:
    void expect(bool holds, const char* what, std::int64_t id) {
        if (!holds && wrong.empty())
            wrong = std::string(what) + ", pair " + std::to_string(id) + ": " + seen(table_, id);
    }

    /// Every reading is in exactly one place of one pair, and leaves it for nowhere only by an undo.
    void check_readings(const RandomDay::Happened& happened) {
        where_.clear();
        for (std::int64_t id = 1; id <= table_.count(); ++id) {
            const record::Pair& pair = *table_.find(id);
            std::multiset<std::int64_t> here;
            if (pair.right) here.insert(pair.right->event);
            if (pair.left) here.insert(pair.left->event);
            const bool one_capture = pair.has_both() && pair.right->event == pair.left->event;
            if (one_capture) here.erase(here.begin());
            for (const auto event : table_.pending(id))
                here.insert(event);
            for (const auto event : table_.superseded(id))
                here.insert(event);
            for (const auto event : here)
                expect(where_.emplace(event, id).second, "a reading is in two places", id);
        }
        if (happened.event != 0) expect(where_.contains(happened.event), "a reading is lost", table_.count());
        if (happened.kind == RandomDay::Kind::undo) return;
        for (const auto& [event, id] : where_before_)
            expect(where_.contains(event), "a reading went without an undo", id);
    }

    void check_changes() {
        std::set<std::string> torn;
        for (const Change& change : random_.day.changes) {
            if (change.what != What::label_void) continue;
            expect(void_.insert(change.text).second, "a number is voided twice", change.pair);
            const auto place = static_cast<std::size_t>(change.pair - 1);
            expect(place < label_.size() && label_[place] == change.text,
                   "a number is voided that the pair did not bear", change.pair);
            torn.insert(change.text);
        }
        for (std::int64_t id = 1; id <= table_.count(); ++id) {
            const auto place = static_cast<std::size_t>(id - 1);
            const bool is_new = place >= seen_.size();
            const bool differs = is_new || seen_[place] != seen(table_, id);
            expect(!differs || random_.day.changed(id), "a pair changed and nobody was told", id);
            if (!is_new && !label_[place].empty() && table_.number(id).empty())
                expect(torn.contains(label_[place]),
                       "a label lost its number and nobody was told to tear it up", id);
        }
        expect((table_.awaited() != awaited_) == !random_.day.told(What::awaiting).empty(),
               "the awaited eye changed and nobody was told, or the reverse", table_.count());
    }

    /// A reading never comes to stand beside one from before a restart, unless a person said so for this
    /// restart.
    void check_restarts(const RandomDay::Happened& happened) {
        for (std::int64_t id = 1; id <= table_.count(); ++id) {
            const record::Pair& pair = *table_.find(id);
            if (happened.kind == RandomDay::Kind::answer && restart_asked_[id] &&
                !random_.day.changes.empty())
                person_said_[id] = random_.boots;
            if (happened.kind != RandomDay::Kind::reading || !pair.has_both()) continue;
            for (const Eye eye : {Eye::right, Eye::left}) {
                if (pair.lens(eye)->event != happened.event) continue;
                const bool same_side = boot_[pair.lens(record::other(eye))->event] == random_.boots;
                const auto said = person_said_.find(id);
                expect(same_side || (said != person_said_.end() && said->second == random_.boots),
                       "a pair silently joins the two sides of a restart", id);
            }
        }
    }

    void check_settled_rest() {
        for (std::size_t place = 0; place < seen_.size(); ++place) {
            const std::string& was = seen_[place];
            const bool settled =
                was.starts_with("labelled") || was.starts_with("turned") || was.starts_with("decided");
            const auto id = static_cast<std::int64_t>(place + 1);
            expect(!settled || seen(table_, id) == was, "a reading changed a settled pair", id);
        }
    }

    RandomDay& random_;
    const Table& table_;
    std::vector<std::string> seen_, label_;
    std::optional<Eye> awaited_;
    std::map<std::int64_t, std::int64_t> where_, where_before_;
    std::map<std::int64_t, std::uint32_t> boot_, person_said_;
    std::map<std::int64_t, bool> restart_asked_;
    std::set<std::string> void_;
};

}  // namespace

TEST_CASE(
    "on any day no reading is lost or doubled, and no doubtful, half, held or void thing bears a label") {
    std::map<std::string, int> states, questions;
    int labels_void = 0;
    for (unsigned seed = 1; seed <= days; ++seed) {
        RandomDay random(seed);
        Watch watch(random);
        for (int n = 0; n < events_a_day; ++n) {
            watch.before();
            watch.after(random.happen_anything(false));
            for (const Change& change : random.day.changes)
                labels_void += change.what == What::label_void ? 1 : 0;
            random.settle_all();
            watch.check_labels();
            if (!watch.wrong.empty()) FAIL("seed " << seed << ", event " << n + 1 << ": " << watch.wrong);
        }
        for (std::int64_t id = 1; id <= random.day.table.count(); ++id) {
            ++states[std::string(record::word(random.day.state(id)))];
            for (const auto& question : random.day.questions(id))
                ++questions[question];
        }
    }
    // The days must have been to every place, or they show nothing.
    for (const char* state : {"open", "complete", "asking", "labelled", "gone"})
        CHECK(states[state] > 100);
    for (const char* id : {"same-lens-twice", "two-places", "not-cleared", "after-restart", "half-pair-old",
                           "half-pair-left-behind", "not-looked-over", "set-aside"})
        CHECK(questions[id] > 100);
    CHECK(labels_void > 1000);
}

TEST_CASE("any acts, taken back in reverse, leave every pair where it was") {
    int undone = 0;
    for (unsigned seed = 1; seed <= days; ++seed) {
        RandomDay random(seed + 1'000'000);
        for (unsigned n = random.below(16); n > 0; --n) {
            random.happen_anything(false);
            random.settle_all();
        }
        const auto picture = [&] {
            std::vector<std::string> all;
            for (std::int64_t id = 1; id <= random.day.table.count(); ++id)
                all.push_back(seen(random.day.table, id));
            return all;
        };
        const auto was = picture();
        const auto bench = random.day.at_bench();
        const auto awaited = random.day.table.awaited();

        std::vector<std::optional<std::int64_t>> done;
        for (unsigned n = 1 + random.below(10); n > 0; --n) {
            const auto happened = random.happen_anything(true);
            const bool acted = !random.day.told(What::pair).empty();
            random.settle_all();
            if (!acted) continue;
            done.push_back(happened.named);
        }
        for (; !done.empty(); done.pop_back()) {
            random.day.act("undo", done.back());
            random.settle_all();
            ++undone;
        }
        auto is = picture();
        for (std::size_t extra = is.size(); extra > was.size(); --extra) {
            if (!is.back().starts_with("gone")) break;
            is.pop_back();
        }
        if (is != was || random.day.at_bench() != bench || random.day.table.awaited() != awaited) {
            std::string difference;
            for (std::size_t place = 0; place < is.size(); ++place) {
                if (place >= was.size() || is[place] != was[place])
                    difference +=
                        "\n" + (place < was.size() ? was[place] : "nothing") + "\n  became " + is[place];
            }
            FAIL("seed " << seed << ": bench " << bench << ", now " << random.day.at_bench() << difference);
        }
    }
    CHECK(undone > 50'000);
}

TEST_CASE("the same events give the same pairs") {
    for (unsigned seed = 1; seed <= 200; ++seed) {
        RandomDay one(seed), other(seed);
        for (int n = 0; n < events_a_day; ++n) {
            one.happen_anything(false);
            other.happen_anything(false);
            one.settle_all();
            other.settle_all();
        }
        REQUIRE(one.day.table.count() == other.day.table.count());
        for (std::int64_t id = 1; id <= one.day.table.count(); ++id)
            REQUIRE(seen(one.day.table, id) == seen(other.day.table, id));
    }
}

}  // namespace pairmark::pairing::testing
