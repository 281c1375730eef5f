// The bench's decisions on a day of readings, and the hands that stick each label on what they hold.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "host/bench/pipeline.hpp"
#include "host/label/number.hpp"
#include "tests/slips/spectacles.hpp"

namespace pairmark::slips {

class BenchDay {
  public:
    explicit BenchDay(std::string_view rules) {
        happen(record::TextInForce{"settings", "", "{}"});
        happen(record::TextInForce{"rules", "", std::string(rules)});
    }

    /// From here on the volunteer holds that pair; labels go on it.
    void take_up(std::size_t pair) { in_hand_ = pair; }

    void read(std::vector<record::LensReading> lenses, Dioptre step = optics::label_step) {
        record::ReadingTaken taken;
        taken.reading.lenses = std::move(lenses);
        taken.reading.step = step;
        happen(taken);
    }
    void read(std::optional<Eye> named, const Power& power) { read({{named, power, {}, {}}}); }

    /// The adapter refused the capture, with its lamp; the pair is set aside.
    void refuse() {
        told_.insert(in_hand_);
        record::Acted acted;
        acted.act = "set-aside";
        happen(acted);
    }

    /// What was stuck on each pair and not torn up.
    const std::map<std::size_t, record::LabelFacts>& labels() const { return stuck_; }
    /// Two labels lie on the table, and each goes to the other's envelope.
    void exchange_labels(std::size_t one, std::size_t other) {
        if (stuck_.contains(one) && stuck_.contains(other)) std::swap(stuck_[one], stuck_[other]);
    }
    /// True if the bench refused or asked about a pair while this one was in the hands, or said something of
    /// it.
    bool was_told(std::size_t pair) const { return told_.contains(pair); }

  private:
    void happen(record::EventBody body) {
        const record::Event event{++sequence_, "2026-11-24T09:00:00.000Z", std::move(body)};
        std::vector<std::int64_t> kept;
        for (const bench::Outcome& outcome : pipeline_.apply(event)) {
            const record::Pair* pair = pipeline_.table().find(outcome.pair);
            if (outcome.what == bench::Outcome::What::label_void)
                std::erase_if(stuck_, [&](const auto& one) { return one.second.number == outcome.text; });
            if (outcome.what == bench::Outcome::What::said) told_.insert(in_hand_);
            if (outcome.what == bench::Outcome::What::pair && pair != nullptr && !pair->questions.empty())
                told_.insert(in_hand_);
            if (outcome.what != bench::Outcome::What::settled) continue;
            if (pair->state == record::PairState::decided)
                kept.push_back(outcome.pair);
            else
                told_.insert(in_hand_);
        }
        for (const std::int64_t pair : kept)
            number(pair);
    }
    void number(std::int64_t pair) {
        record::Numbered numbered;
        numbered.pair = pair;
        numbered.series = "A";
        numbered.counter = ++counter_;
        numbered.number = label::print_number({"A1", "A", counter_});
        numbered.date = "2026-11-24";
        numbered.place = "Box 1-01";
        stuck_[in_hand_] = pipeline_.label_facts(*pipeline_.table().find(pair), numbered);
        happen(numbered);
    }

    bench::Pipeline pipeline_;
    std::int64_t sequence_ = 0;
    std::int64_t counter_ = 0;
    std::size_t in_hand_ = 0;
    std::map<std::size_t, record::LabelFacts> stuck_;
    std::set<std::size_t> told_;
};

}  // namespace pairmark::slips
