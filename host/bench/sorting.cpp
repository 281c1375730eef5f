#include "host/bench/sorting.hpp"

#include <utility>

#include "host/bench/verify_store.hpp"
#include "host/label/number.hpp"
#include "host/label/render.hpp"
#include "host/optics/rounding.hpp"
#include "host/record/json.hpp"
#include "host/record/sha256.hpp"

namespace pairmark::bench {

using record::Decision;
using record::Pair;
using record::PairState;
using record::PrintOutcome;

namespace {

optics::Dioptre dioptre(std::int16_t hundredths) {
    return optics::Dioptre::hundredths(hundredths);
}

optics::Dioptre step_of(protocol::StepCode code) {
    switch (code) {
        case protocol::StepCode::quarter:
            return optics::Dioptre::hundredths(25);
        case protocol::StepCode::eighth:
            return optics::Dioptre::millionths(125'000);
        case protocol::StepCode::hundredth:
            break;
    }
    return optics::Dioptre::hundredths(1);
}

record::LensReading lens_of(const protocol::LensFields& fields, protocol::StepCode step) {
    record::LensReading lens;
    if (fields.eye == protocol::EyeCode::right) lens.eye = record::Eye::right;
    if (fields.eye == protocol::EyeCode::left) lens.eye = record::Eye::left;
    lens.power = {dioptre(fields.sphere), dioptre(fields.cylinder), static_cast<double>(fields.axis)};
    if (step == protocol::StepCode::eighth) lens.power = optics::repair_cut_eighths(lens.power);
    if (fields.has_addition) lens.addition = dioptre(fields.addition);
    if (fields.has_prism)
        lens.prism = record::Prism{dioptre(fields.horizontal_prism), dioptre(fields.vertical_prism)};
    return lens;
}

record::Key key_of(protocol::Key key) {
    switch (key) {
        case protocol::Key::turn_down:
            return record::Key::turn_down;
        case protocol::Key::undo:
            return record::Key::undo;
        case protocol::Key::set_aside:
            return record::Key::set_aside;
        case protocol::Key::go_on:
            break;
    }
    return record::Key::go_on;
}

/// Both lenses are there, and a reading came late.
bool is_held(const Pair& pair) {
    return pair.late && pair.has_both() && pair.state == PairState::complete;
}

const char* cue_of(Decision decision) {
    switch (decision) {
        case Decision::keep:
            return "keep";
        case Decision::discard:
            return "discard";
        case Decision::ask:
            break;
    }
    return "ask";
}

}  // namespace

record::EventBody body_of(const protocol::EventLine& line, const std::string& adapter, bool late,
                          bool one_table) {
    const protocol::EventFields& event = line.event;
    const record::AdapterEventId id{adapter, event.epoch, event.number, line.crc};
    if (event.kind == protocol::EventKind::key)
        return record::KeyPressed{id, key_of(event.key), event.long_press, late};
    record::ReadingTaken taken;
    taken.id = id;
    for (std::size_t i = 0; i < event.lens_count; ++i)
        taken.reading.lenses.push_back(lens_of(event.lens[i], event.step));
    if (event.has_centres) taken.reading.centres_mm = event.centres / 10.0;
    taken.reading.step = step_of(event.step);
    taken.reading.one_table = one_table;
    if (line.age_known) taken.age_ms = line.age_ms;
    taken.first_after_reset = event.first_after_reset;
    taken.late = late;
    return taken;
}

Sorting::Sorting(Seams seams, Config config, std::string rules)
    : seams_(std::move(seams)),
      config_(std::move(config)),
      rules_(std::move(rules)),
      lamps_([this](const std::string& show) { seams_.cue(show); }),
      outbox_(outbox_seams()) {
    if (!seams_.draw) seams_.draw = label::render_document;
}

Sorting::~Sorting() {
    if (again_) seams_.timers.cancel(*again_);
    if (check_timer_) seams_.timers.cancel(*check_timer_);
}

void Sorting::start() {
    const std::int64_t imported_to = seams_.store.imported_to();
    seams_.store.for_each_event([&](const record::Event& event) {
        remember(event);
        for (const Outcome& outcome : pipeline_.apply(event)) {
            if (outcome.what != Outcome::What::settled) continue;
            if (event.sequence <= imported_to)
                decided_elsewhere_.insert(outcome.pair);
            else
                decided_elsewhere_.erase(outcome.pair);
        }
    });
    if (seams_.store.was_restored_or_copied())
        seams_.announcer.tell("said", "this store was restored or copied; its labels go on in series " +
                                          seams_.store.start_new_series());
    const std::string settings = settings_text(config_);
    to_put_in_force_ = {
        record::Started{PAIRMARK_VERSION, seams_.store.id(), config_.bench, seams_.store.series()},
        record::TextInForce{"settings", record::sha256(settings), settings},
        record::TextInForce{"rules", record::sha256(rules_), rules_}};
    outbox_.start();
    (void)begin_work();
    time_check();
    settle();
}

/// True once this start is complete; until then no event is taken. What stops it is said, and tried again.
bool Sorting::begin_work() {
    if (begun_) return true;
    if (!put_in_force()) return false;
    try {
        finish_leftovers();
    } catch (const store::StoreFailure& failure) {
        trouble(failure.what());
        try_again_later();
        return false;
    }
    begun_ = true;
    outbox_.again();
    return true;
}

/// What this start brings into force. Until it is kept nothing else is: a reading that was judged by the
/// rules of before, or a label without the programme's name, could not be taken back.
bool Sorting::put_in_force() {
    while (!to_put_in_force_.empty()) {
        if (!keep(to_put_in_force_.front())) {
            try_again_later();
            return false;
        }
        to_put_in_force_.pop_front();
    }
    return true;
}

/// What a cut can leave: a label whose pair was taken back, a row that is behind the events, a kept pair
/// without a number, and a label that was numbered but not printed.
void Sorting::finish_leftovers() {
    // First of all: what is void must not be printed below.
    for (const store::StoredLabel& label : seams_.store.labels())
        if (!label.is_void && pipeline_.table().number(label.pair) != label.number)
            follow({Outcome::What::label_void, label.pair, label.number});
    if (is_a_row_behind())
        if (const StoreDerived right = derive(seams_.store); right.unreadable.empty())
            (void)put_right(seams_.store, right);
    for (std::int64_t id = 1; id <= pipeline_.table().count(); ++id) {
        const Pair* pair = pipeline_.table().find(id);
        if (pair == nullptr) continue;
        if (pair->state == PairState::decided && !decided_elsewhere_.contains(id))
            pending_.push_back({Outcome::What::settled, id, {}});
    }
}

/// Of a pair whose row must say how it stands: that of an open one may be of before, and a kept one gets its
/// own with the label. Verdicts are not compared: an unsettled pair's follows the rules of now, its row those
/// of then.
bool Sorting::is_a_row_behind() const {
    for (std::int64_t id = 1; id <= pipeline_.table().count(); ++id) {
        const Pair* pair = pipeline_.table().find(id);
        if (pair == nullptr || pair->state == PairState::decided) continue;
        const auto row = seams_.store.pair(id);
        if (!row || (pair->state != PairState::open && row->body != record::to_json(*pair).dump()))
            return true;
    }
    return false;
}

void Sorting::remember(const record::Event& event) {
    clock_.saw(event);
    outbox_.saw(event);
    check_.saw(event);
    if (const auto* greeted = std::get_if<record::Greeted>(&event.body)) last_greeted_ = *greeted;
    if (const auto* note = std::get_if<record::Noted>(&event.body))
        if (note->what == label_refused) noted_.insert(note->say);
    if (const auto* numbered = std::get_if<record::Numbered>(&event.body))
        places_.insert_or_assign(numbered->pair, numbered->place);
}

/// Appends an event in a commit of its own and lets it act. False if it could not be kept: then nothing of it
/// counts.
bool Sorting::keep(record::EventBody body) {
    record::Event event{0, utc_text(seams_.timers.wall()), std::move(body)};
    try {
        if (const auto failure = seams_.store.attempt([&] { seams_.store.append(event); })) {
            trouble(failure->what());
            return false;
        }
    } catch (const record::BadRecord& bad) {
        // The line's ranges lie inside the record's, so this is a fault of ours; it must not end the day.
        trouble(std::string("an event cannot be kept: ") + bad.what());
        return false;
    }
    last_trouble_.clear();
    tend_printer_lamp();
    remember(event);
    for (Outcome& outcome : pipeline_.apply(event))
        pending_.push_back(std::move(outcome));
    return true;
}

Sorting::Taken Sorting::take(const protocol::EventLine& event, const std::string& adapter,
                             const std::string& line, bool link_healthy) {
    if (!begin_work() || !keep_greeting()) return Taken::failed;
    const record::AdapterEventId id{adapter, event.event.epoch, event.event.number, event.crc};
    store::Known known = store::Known::unknown;
    if (const auto failure = seams_.store.attempt([&] { known = seams_.store.find(id); })) {
        trouble(failure->what());
        return Taken::failed;
    }
    if (known == store::Known::same) return Taken::known;
    if (known == store::Known::clash) {
        const std::string at = utc_text(seams_.timers.wall());
        if (const auto failure = seams_.store.attempt([&] { seams_.store.quarantine(at, id, line); }))
            trouble(failure->what());
        return Taken::clash;
    }
    const bool late =
        !link_healthy || !event.age_known ||
        Milliseconds(event.age_ms) > std::chrono::duration_cast<Milliseconds>(config_.late_after);
    const record::EventBody body = body_of(event, adapter, late, one_table_);
    if (!keep(body)) return Taken::failed;
    if (const auto* reading = std::get_if<record::ReadingTaken>(&body))
        for (const record::LensReading& lens : reading->reading.lenses)
            seams_.announcer.reading(lens);
    if (std::holds_alternative<record::ReadingTaken>(body)) lamps_.reading_taken();
    return Taken::stored;
}

void Sorting::greeted(const record::Greeted& greeting) {
    lamps_.greeted();
    record::Greeted due = greeting;
    if (greeting_due_) {
        due.reset = due.reset || greeting_due_->reset;
        due.changed = due.changed || greeting_due_->changed;
    }
    greeting_due_ = std::move(due);
    if (begin_work()) (void)keep_greeting();
    settle();
}

/// What an adapter sends after a greeting is not taken before the greeting is kept: that it is another
/// adapter, or was reset, is what keeps its reading out of the half pair of before.
bool Sorting::keep_greeting() {
    if (!greeting_due_) return true;
    if (!keep(*greeting_due_)) return false;
    greeting_due_.reset();
    return true;
}

std::string Sorting::act(const record::Acted& act) {
    answers_.clear();
    if (!begin_work()) return "not done: " + last_trouble_;
    if (printing::Outbox::is_act(act.act)) return outbox_.act(act);
    if (act.act == "release" && release_label(act)) return answers_;
    if (!keep(act)) return "not done: " + last_trouble_;
    if (act.act == CheckWatch::act) time_check();
    settle();
    return answers_;
}

void Sorting::settle() {
    while (!pending_.empty()) {
        const Outcome outcome = std::move(pending_.front());
        pending_.pop_front();
        follow(outcome);
    }
}

void Sorting::follow(const Outcome& outcome) {
    const Pair* pair = pipeline_.table().find(outcome.pair);
    switch (outcome.what) {
        case Outcome::What::said:
            answers_ += (answers_.empty() ? "" : "\n") + outcome.text;
            seams_.announcer.tell("said", outcome.text);
            break;
        case Outcome::What::label_void:
            follow_void(outcome);
            break;
        case Outcome::What::pair:
            if (pair != nullptr && !verdict_follows(outcome.pair)) show_lamp(*pair);
            // An open pair can always be made again from the events; it is kept as a row from when it says
            // something.
            if (pair == nullptr || pair->state == PairState::open || verdict_follows(outcome.pair)) break;
            show(*pair);
            if (is_held(*pair))
                seams_.announcer.tell("said", "pair " + std::to_string(pair->id) +
                                                  " is held: a reading of it came late; look whether these "
                                                  "are its powers, then release it or measure it again");
            break;
        case Outcome::What::settled:
            if (pair == nullptr) break;
            lamps_.verdict(pair->id, cue_of(pipeline_.verdict(*pair).decision));
            if (pair->state == PairState::decided)
                label(pair->id);
            else
                show(*pair);
            break;
    }
}

void Sorting::follow_void(const Outcome& outcome) {
    const std::string say = outbox_.take_back(outcome.text);
    shown_without_.erase(outcome.text);
    answers_ += (answers_.empty() ? "" : "\n") + say;
    seams_.announcer.tell("void", say, outcome.text);
}

/// The lamp of a changed pair that has no new verdict of the rules.
void Sorting::show_lamp(const Pair& pair) {
    switch (pair.state) {
        case PairState::asking:
        case PairState::turned_down:
            return lamps_.verdict(pair.id, cue_of(pipeline_.verdict(pair).decision));
        case PairState::open:
        case PairState::complete:
            // A question, also one at the bench, wants an answer. Held, not decided: nobody may take the keep
            // lamp for a label that is to come.
            if (!pair.questions.empty() || is_held(pair)) return lamps_.verdict(pair.id, "ask");
            return lamps_.no_verdict(pair.id);
        case PairState::gone:
            return lamps_.no_verdict(pair.id);
        case PairState::decided:
        case PairState::labelled:
            break;
    }
}

/// A changed pair whose verdict comes next is shown with it, once.
bool Sorting::verdict_follows(std::int64_t pair) const {
    return !pending_.empty() && pending_.front().what == Outcome::What::settled &&
           pending_.front().pair == pair;
}

void Sorting::show(const Pair& pair) {
    const record::Verdict verdict = pipeline_.verdict(pair);
    const std::string number = pipeline_.table().number(pair.id);
    put_row(pair);
    const bool out = !number.empty() && outbox_.is_out(number);
    if (!number.empty() && !out) shown_without_.insert(number);
    const auto place = places_.find(pair.id);
    seams_.announcer.pair(pair, verdict, number,
                          place == places_.end() || number.empty() ? std::string() : place->second,
                          out ? seams_.label_file(number) : std::string());
}

void Sorting::put_row(const Pair& pair) {
    const std::string verdict = record::to_json(pipeline_.verdict(pair)).dump();
    if (const auto failure = seams_.store.attempt([&] { seams_.store.put_pair(pair, verdict); })) {
        rows_due_.insert(pair.id);
        trouble(failure->what());
        try_again_later();
    } else {
        rows_due_.erase(pair.id);
    }
}

/// Number, date, place, facts and document of a kept pair, all in one commit; then the document goes out.
void Sorting::label(std::int64_t id) {
    const Pair* pair = pipeline_.table().find(id);
    if (pair == nullptr || pair->state != PairState::decided) return;
    record::Numbered numbered;
    record::PrintIntent intent;
    record::Event event;
    try {
        const auto failure = seams_.store.attempt([&] {
            numbered.pair = id;
            numbered.series = seams_.store.series();
            numbered.counter = seams_.store.next_counter(numbered.series);
            numbered.number = label::print_number({config_.bench, numbered.series, numbered.counter});
            numbered.date = local_date(clock_.believable(seams_.timers.wall()));
            numbered.place = pipeline_.place_for(*pair, numbered.counter);
            intent.pair = id;
            intent.facts = pipeline_.label_facts(*pair, numbered);
            intent.rules_hash = pipeline_.rules_hash();
            intent.document = seams_.draw(intent.facts, pipeline_.paper());
            event = {0, utc_text(seams_.timers.wall()), numbered};
            seams_.store.append(event);
            seams_.store.put_pair(*pair, record::to_json(pipeline_.verdict(*pair)).dump());
            seams_.store.put_label(id, numbered.series, numbered.counter, intent.facts);
            intent.id = seams_.store.put_intent(intent);
        });
        if (failure) return no_label_yet(id, failure->what());
    } catch (const label::LabelRefused& why) {
        return refuse_label(id, why.what());
    } catch (const std::runtime_error& fault) {
        return no_label_yet(id, std::string("its label could not be drawn: ") + fault.what());
    }
    rows_due_.erase(id);
    if (no_label_yet_.erase(id) > 0) tend_printer_lamp();
    // The pipeline follows the event only after the commit: what was not kept has not happened.
    remember(event);
    for (Outcome& outcome : pipeline_.apply(event))
        pending_.push_back(std::move(outcome));
    outbox_.add(intent);
}

std::optional<std::int64_t> Sorting::half_pair() const {
    const Pair* pair = pipeline_.table().at_bench();
    if (pair == nullptr || pair->state != PairState::open || (!pair->right && !pair->left))
        return std::nullopt;
    return pair->id;
}

bool Sorting::half_pair_is_old(std::int64_t pair) {
    const bool kept = begin_work() && keep(record::TimedOut{"half-pair", pair});
    settle();
    return kept;
}

void Sorting::time_check() {
    if (check_timer_) seams_.timers.cancel(*check_timer_);
    check_timer_.reset();
    std::optional<Milliseconds> wait = check_.left(seams_.timers.wall());
    if (wait == Milliseconds(0)) {
        const bool kept = begin_work() && keep(record::TimedOut{CheckWatch::act, 0});
        wait = kept ? std::nullopt : std::optional(CheckWatch::again_after);
    }
    if (!wait) return;
    check_timer_ = seams_.timers.after(*wait, [this] {
        check_timer_.reset();
        time_check();
        settle();
    });
}

void Sorting::trouble(const std::string& say) {
    // Said once, until something works again.
    if (say == last_trouble_) return;
    last_trouble_ = say;
    seams_.announcer.tell("trouble", say);
    tend_printer_lamp();
}

}  // namespace pairmark::bench
