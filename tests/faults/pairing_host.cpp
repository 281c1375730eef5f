#include "tests/faults/pairing_host.hpp"

#include <algorithm>

#include "host/pairing/question.hpp"

namespace pairmark::sim {
namespace {

constexpr const char* adapter = "0123456789ABCDEF";

record::AdapterEventId id_of(const protocol::EventLine& line) {
    return {adapter, line.event.epoch, line.event.number, line.crc};
}

record::Key key_of(protocol::Key key) {
    switch (key) {
        case protocol::Key::go_on:
            return record::Key::go_on;
        case protocol::Key::turn_down:
            return record::Key::turn_down;
        case protocol::Key::undo:
            return record::Key::undo;
        default:
            return record::Key::set_aside;
    }
}

record::LensReading lens_of(const protocol::LensFields& fields) {
    record::LensReading lens;
    if (fields.eye != protocol::EyeCode::none)
        lens.eye = fields.eye == protocol::EyeCode::right ? record::Eye::right : record::Eye::left;
    lens.power = {optics::Dioptre::hundredths(fields.sphere), optics::Dioptre::hundredths(fields.cylinder),
                  static_cast<double>(fields.axis)};
    return lens;
}

bool is_shown(const record::Pair& pair, const record::Pair* at_bench) {
    return (at_bench != nullptr && at_bench->id == pair.id) || !pair.questions.empty();
}

std::string numbered(const char* what, std::int64_t pair) {
    return std::string(what) + " " + std::to_string(pair);
}

}  // namespace

std::vector<pairing::Change> PairingHost::apply(record::EventBody body) {
    std::vector<pairing::Change> changes = table_.apply({++sequence_, "", std::move(body)});
    for (const pairing::Change& change : changes) {
        if (change.what != pairing::Change::What::pair || !table_.needs_decision(change.pair)) continue;
        table_.settle(change.pair, record::Decision::keep);
        ++labels_;
        apply(record::Numbered{change.pair, std::to_string(labels_), "A", labels_, "2026-11-25", "1"});
    }
    return changes;
}

void PairingHost::take(const protocol::EventLine& line) {
    const protocol::EventFields& event = line.event;
    if (event.kind == protocol::EventKind::key) {
        keys_.push_back(event.key);
        std::vector<std::int64_t> before;
        for (const Held& held : readings_)
            if (!place_of(held.event).empty()) before.push_back(held.event);
        apply(record::KeyPressed{id_of(line), key_of(event.key), event.long_press, !line.age_known});
        if (event.key != protocol::Key::undo) return;
        for (const std::int64_t reading : before)
            if (place_of(reading).empty()) undone_.insert(reading);
        return;
    }
    record::ReadingTaken taken;
    taken.id = id_of(line);
    for (unsigned i = 0; i < event.lens_count; ++i)
        taken.reading.lenses.push_back(lens_of(event.lens[i]));
    taken.reading.step = optics::Dioptre::hundredths(25);
    taken.first_after_reset = event.first_after_reset;
    taken.late = !line.age_known;
    readings_.push_back({sequence_ + 1, event.lens[0].sphere});
    apply(std::move(taken));
}

void PairingHost::greeted(bool reset, bool changed) {
    record::Greeted greeting;
    greeting.adapter = adapter;
    greeting.reset = reset;
    greeting.changed = changed;
    apply(greeting);
}

void PairingHost::answer_what_is_asked() {
    const auto act = [&](const char* what, std::string_view text) {
        apply(record::Acted{what, table_.at_bench()->id, {}, std::string(text)});
    };
    if (table_.at_bench() != nullptr &&
        pairing::has_question(*table_.at_bench(), pairing::ask::after_restart))
        act("answer", pairing::answer::same_pair);
    if (table_.at_bench() != nullptr && table_.at_bench()->late) act("release", "");
}

unsigned PairingHost::readings_of(int sphere) const {
    return static_cast<unsigned>(std::count_if(readings_.begin(), readings_.end(),
                                               [&](const Held& held) { return held.sphere == sphere; }));
}

unsigned PairingHost::keys(protocol::Key key) const {
    return static_cast<unsigned>(std::count(keys_.begin(), keys_.end(), key));
}

std::string PairingHost::place_of(std::int64_t event) const {
    std::string places;
    const auto add = [&](const std::string& place) { places += (places.empty() ? "" : " and ") + place; };
    for (std::int64_t id = 1; id <= table_.count(); ++id) {
        const record::Pair& pair = *table_.find(id);
        for (const auto* lens : {&pair.right, &pair.left}) {
            if (!*lens || (*lens)->event != event) continue;
            if (pair.state == record::PairState::decided || pair.state == record::PairState::labelled) {
                add(numbered("in decided pair", id));
            } else if (pairing::has_question(pair, pairing::ask::set_aside)) {
                add(numbered("set aside with pair", id));
            } else if (is_shown(pair, table_.at_bench())) {
                add(numbered("in shown pair", id));
            } else {
                add(numbered("HIDDEN in pair", id));
            }
        }
        for (const std::int64_t old : table_.superseded(id))
            if (old == event) add(numbered("replaced in pair", id));
        for (const std::int64_t waiting : table_.pending(id))
            if (waiting == event)
                add(numbered(is_shown(pair, table_.at_bench()) ? "asked about in pair" : "HIDDEN in pair",
                             id));
    }
    return places;
}

std::string PairingHost::misplaced() const {
    std::string wrong;
    for (const Held& held : readings_) {
        std::string place = place_of(held.event);
        if (undone_.count(held.event) != 0) place += place.empty() ? "undone" : " and undone";
        if (place.empty()) place = "NOWHERE";
        const bool is_one =
            place.find(" and ") == std::string::npos && place.find("HIDDEN") != 0 && place != "NOWHERE";
        if (!is_one) wrong += "reading of " + std::to_string(held.sphere) + " is " + place + "; ";
    }
    return wrong;
}

}  // namespace pairmark::sim
