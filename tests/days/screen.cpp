#include "tests/days/screen.hpp"

#include "host/pairing/question.hpp"

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

bool Screen::is_shown(const record::Pair& pair) const {
    const record::Pair* at_bench = table().at_bench();
    return (at_bench != nullptr && at_bench->id == pair.id) || !pair.questions.empty() || pair.late ||
           pair.state == PairState::asking;
}

std::vector<std::string> Screen::places_of(std::int64_t event) const {
    std::vector<std::string> places;
    const auto add = [&places](const char* what, std::int64_t pair) {
        places.push_back(std::string(what) + " " + std::to_string(pair));
    };
    for (std::int64_t id = 1; id <= table().count(); ++id) {
        const record::Pair& pair = *table().find(id);
        for (const auto* lens : {&pair.right, &pair.left}) {
            if (!*lens || (*lens)->event != event) continue;
            if (pair.state == PairState::decided || pair.state == PairState::labelled ||
                pair.state == PairState::turned_down)
                add("in decided pair", id);
            else
                add(is_shown(pair) ? "in shown pair" : "HIDDEN in pair", id);
        }
        for (const std::int64_t old : table().superseded(id))
            if (old == event) add("replaced in pair", id);
        for (const std::int64_t waiting : table().pending(id))
            if (waiting == event) add(is_shown(pair) ? "asked about in pair" : "HIDDEN in pair", id);
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
