#include "tests/days/screen.hpp"

#include <algorithm>

#include "host/pairing/question.hpp"
#include "host/printing/outbox.hpp"

namespace pairmark::days {
namespace {

using record::PairState;

bool takes_back(const record::EventBody& body) {
    if (const auto* key = std::get_if<record::KeyPressed>(&body)) return key->key == record::Key::undo;
    const auto* act = std::get_if<record::Acted>(&body);
    return act != nullptr && act->act == "undo";
}

}  // namespace

void Screen::follow(const store::Store& store) {
    std::vector<record::Event> fresh;
    store.for_each_event([&fresh](const record::Event& event) { fresh.push_back(event); }, next_);
    for (const record::Event& event : fresh) {
        next_ = event.sequence + 1;
        if (const auto* taken = std::get_if<record::ReadingTaken>(&event.body)) {
            for (const record::LensReading& lens : taken->reading.lenses)
                readings_.push_back({event.sequence, lens});
            if (taken->late) ++late_;
        }
        if (const auto* note = std::get_if<record::Noted>(&event.body))
            if (note->what == "label-refused") refused_.push_back(note->say);
        if (const auto* acted = std::get_if<record::Acted>(&event.body))
            if (acted->act != "release" && !printing::Outbox::is_act(acted->act)) ++acts_;
        if (std::holds_alternative<record::KeyPressed>(event.body)) ++keys_;
        if (std::holds_alternative<record::Numbered>(event.body)) ++numbers_;
        std::vector<std::int64_t> before;
        const bool back = takes_back(event.body);
        if (back)
            for (const Held& held : readings_)
                if (!places_of(held.event).empty()) before.push_back(held.event);
        (void)pipeline_.apply(event);
        for (const std::int64_t reading : before)
            if (places_of(reading).empty()) undone_.insert(reading);
    }
}

bool Screen::is_in_force(const std::string& number) const {
    for (std::int64_t id = 1; id <= table().count(); ++id)
        if (table().number(id) == number) return true;
    return false;
}

bool Screen::label_is_refused(std::int64_t pair) const {
    const std::string about = "pair " + std::to_string(pair) + ": ";
    return std::any_of(refused_.begin(), refused_.end(),
                       [&about](const std::string& say) { return say.starts_with(about); });
}

bool Screen::is_shown(const record::Pair& pair) const {
    const record::Pair* at_bench = table().at_bench();
    return (at_bench != nullptr && at_bench->id == pair.id) || !pair.questions.empty() || pair.late ||
           pair.state == PairState::asking;
}

std::vector<std::string> Screen::places_of(std::int64_t event) const {
    std::vector<std::string> places;
    for (std::int64_t id = 1; id <= table().count(); ++id) {
        const record::Pair& pair = *table().find(id);
        // Who turns a pair down while a reading waits in its question turns down that one with it.
        const bool decided = pair.state == PairState::decided || pair.state == PairState::labelled ||
                             pair.state == PairState::turned_down;
        const std::string where = (decided          ? "in "
                                   : is_shown(pair) ? "shown in "
                                                    : "HIDDEN in ") +
                                  std::string(record::word(pair.state)) + " pair " + std::to_string(id);
        for (const auto* lens : {&pair.right, &pair.left})
            if (*lens && (*lens)->event == event) places.push_back(where);
        for (const std::int64_t waiting : table().pending(id))
            if (waiting == event) places.push_back(where + " in a question");
        for (const std::int64_t old : table().superseded(id))
            if (old == event) places.push_back("replaced in pair " + std::to_string(id));
    }
    return places;
}

std::vector<std::string> Screen::misplaced() const {
    std::vector<std::string> wrong;
    for (const Held& held : readings_) {
        std::vector<std::string> places = places_of(held.event);
        if (undone_.contains(held.event)) places.emplace_back("undone");
        if (places.size() == 1 && places[0].rfind("HIDDEN", 0) != 0) continue;
        std::string all;
        for (const std::string& place : places)
            all += (all.empty() ? "" : " and ") + place;
        wrong.push_back("the reading of event " + std::to_string(held.event) + " is " +
                        (all.empty() ? "NOWHERE" : all));
    }
    return wrong;
}

}  // namespace pairmark::days
