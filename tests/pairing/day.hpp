// A day at the bench for the tests: verbs in, pairs out.
#pragma once

#include <algorithm>
#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "host/pairing/pairing.hpp"

namespace pairmark::pairing::testing {

using record::Decision;
using record::Eye;
using record::Key;
using record::PairState;
using What = Change::What;

inline record::LensReading lens(std::optional<Eye> eye, double sphere, double cylinder = 0, double axis = 0) {
    record::LensReading reading;
    reading.eye = eye;
    reading.power = {optics::Dioptre::nearest(sphere), optics::Dioptre::nearest(cylinder), axis};
    return reading;
}

/// Ways in which a reading may come; all usual unless said.
struct How {
    bool late = false;
    bool first_after_reset = false;
    std::optional<double> centres_mm = std::nullopt;
    record::Source source = record::Source::instrument;
};

class Day {
  public:
    explicit Day(Settings settings = {}) : table(settings) {}

    Table table;
    std::vector<Change> changes;  // of the last event

    std::int64_t happen(record::EventBody body) {
        changes = table.apply({++sequence_, "2026-11-24T22:50:00.000Z", std::move(body)});
        return sequence_;
    }

    std::int64_t read(std::vector<record::LensReading> lenses, How how = {}) {
        record::ReadingTaken taken;
        taken.reading.lenses = std::move(lenses);
        taken.reading.centres_mm = how.centres_mm;
        taken.reading.source = how.source;
        taken.late = how.late;
        taken.first_after_reset = how.first_after_reset;
        return happen(taken);
    }
    std::int64_t right(double sphere, How how = {}) { return read({lens(Eye::right, sphere)}, how); }
    std::int64_t left(double sphere, How how = {}) { return read({lens(Eye::left, sphere)}, how); }
    std::int64_t unnamed(double sphere, How how = {}) { return read({lens(std::nullopt, sphere)}, how); }
    std::int64_t both(double right_sphere, double left_sphere, How how = {}) {
        return read({lens(Eye::right, right_sphere), lens(Eye::left, left_sphere)}, how);
    }

    void press(Key key, bool long_press = false) {
        record::KeyPressed pressed;
        pressed.key = key;
        pressed.long_press = long_press;
        happen(pressed);
    }
    void act(const std::string& act, std::optional<std::int64_t> pair = {}, const std::string& text = {}) {
        happen(record::Acted{act, pair, {}, text});
    }
    void mark(record::Marks values, std::optional<std::int64_t> pair = {}) {
        happen(record::Acted{"mark", pair, std::move(values), {}});
    }
    void answer(std::int64_t pair, const std::string& choice) { act("answer", pair, choice); }
    void restart() {
        record::Greeted greeted;
        greeted.reset = true;
        happen(greeted);
    }
    void wait_too_long(std::int64_t pair) { happen(record::TimedOut{"half-pair", pair}); }
    void number(std::int64_t pair, const std::string& number) {
        record::Numbered numbered;
        numbered.pair = pair;
        numbered.number = number;
        happen(numbered);
    }
    /// Graded "keep", and numbered.
    void label(std::int64_t pair, const std::string& given) {
        table.settle(pair, Decision::keep);
        number(pair, given);
    }

    const record::Pair& pair(std::int64_t id) const { return *table.find(id); }
    PairState state(std::int64_t id) const { return pair(id).state; }
    double sphere(std::int64_t id, Eye eye) const { return pair(id).lens(eye)->reading.power.sphere.value(); }
    std::int64_t at_bench() const { return table.at_bench() ? table.at_bench()->id : 0; }

    std::vector<std::string> questions(std::int64_t id) const {
        std::vector<std::string> ids;
        for (const record::Question& put : pair(id).questions)
            ids.push_back(put.id);
        return ids;
    }
    bool asks(std::int64_t id, const std::string& question) const {
        const auto put = questions(id);
        return std::find(put.begin(), put.end(), question) != put.end();
    }
    std::vector<std::string> choices(std::int64_t id) const {
        return pair(id).questions.empty() ? std::vector<std::string>{} : pair(id).questions.front().choices;
    }
    /// What the last event changed in this kind: the texts, in order.
    std::vector<std::string> told(What what) const {
        std::vector<std::string> texts;
        for (const Change& change : changes) {
            if (change.what == what) texts.push_back(change.text);
        }
        return texts;
    }
    bool said(const std::string& part) const {
        const auto texts = told(What::said);
        return std::any_of(texts.begin(), texts.end(),
                           [&](const std::string& text) { return text.find(part) != std::string::npos; });
    }
    bool changed(std::int64_t id) const {
        return std::any_of(changes.begin(), changes.end(), [id](const Change& change) {
            return change.what == What::pair && change.pair == id;
        });
    }

  private:
    std::int64_t sequence_ = 0;
};

using Words = std::vector<std::string>;

}  // namespace pairmark::pairing::testing
