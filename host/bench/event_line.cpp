#include "host/bench/event_line.hpp"

#include <array>
#include <cstdio>
#include <set>
#include <stdexcept>

#include "host/bench/announcer.hpp"
#include "host/bench/columns.hpp"
#include "host/label/words.hpp"
#include "host/record/json.hpp"
#include "host/record/words.hpp"

namespace pairmark::bench {
namespace {

using nlohmann::json;

std::string with_colon(const std::string& text) {
    return text.empty() ? std::string() : ": " + escaped(text);
}

std::string told(const record::Started& started) {
    return "pairmark " + escaped(started.version) + ", bench " + escaped(started.bench) + ", series " +
           escaped(started.series) + ", store " + started.store;
}

std::string told(const record::TextInForce& text) {
    return text.role + " in force, " + std::to_string(text.text.size()) + " bytes, SHA-256 " +
           text.hash.substr(0, 12) + "...";
}

std::string told(const record::Greeted& greeted) {
    std::string say = "adapter " + greeted.adapter + ", epoch " + std::to_string(greeted.epoch) +
                      ", firmware " + escaped(greeted.firmware) + " on " + escaped(greeted.board) +
                      with_colon(greeted.why);
    if (greeted.reset) say += ", was reset";
    if (greeted.changed) say += ", another than before";
    if (greeted.missing > 0)
        say += ", " + std::to_string(greeted.missing) + " readings went to another store";
    return say;
}

std::string told(const record::ReadingTaken& taken) {
    std::string say;
    for (const record::LensReading& lens : taken.reading.lenses) {
        say += (say.empty() ? "" : ", ") +
               (lens.eye ? label::line_of(*lens.eye, lens.power) : "- " + label::text_of(lens.power));
        std::array<char, 40> more{};
        if (lens.addition) {
            std::snprintf(more.data(), more.size(), " add %.2f", lens.addition->value());
            say += more.data();
        }
        if (lens.prism) {
            std::snprintf(more.data(), more.size(), " prism in %.2f up %.2f", lens.prism->horizontal.value(),
                          lens.prism->vertical.value());
            say += more.data();
        }
    }
    if (taken.id) say += ", number " + std::to_string(taken.id->number);
    if (!taken.id || taken.reading.source == record::Source::typed) say += ", typed";
    if (taken.first_after_reset) say += ", first after a reset";
    if (taken.late) say += ", late";
    return say;
}

std::string told(const record::KeyPressed& pressed) {
    return std::string(record::word(pressed.key)) + (pressed.long_press ? ", long" : "") +
           (pressed.late ? ", late" : "") + ", number " + std::to_string(pressed.id.number);
}

std::string told(const record::Acted& acted) {
    std::string say = escaped(acted.act);
    if (acted.pair) say += " of pair " + std::to_string(*acted.pair);
    for (const auto& [name, value] : acted.values)
        say += " " + escaped(name) + "=" + escaped(value);
    return say + with_colon(acted.text);
}

std::string told(const record::TimedOut& timed_out) {
    return escaped(timed_out.what) + " of pair " + std::to_string(timed_out.pair) + ": its time is up";
}

std::string told(const record::Numbered& numbered) {
    return "pair " + std::to_string(numbered.pair) + " gets label " + escaped(numbered.number) + ", " +
           numbered.date + ", " + escaped(numbered.place);
}

std::string told(const record::Printed& printed) {
    return "label " + escaped(printed.number) +
           (printed.copy > 0 ? ", copy " + std::to_string(printed.copy) : "") + " " + printed.outcome +
           with_colon(printed.say);
}

std::string told(const record::Noted& noted) {
    return escaped(noted.what) + with_colon(noted.say);
}

/// "2026-11-24T22:50:00.123Z" as people read it; still UTC.
std::string readable(std::string at) {
    if (at.size() == 24) {
        at[10] = ' ';
        at.pop_back();
    }
    return escaped(at);
}

}  // namespace

std::string happening(const record::EventBody& body) {
    return std::visit([](const auto& one) { return told(one); }, body);
}

EventLines::Line EventLines::take(const record::Event& event) {
    Line line;
    const std::string kind = record::kind_of(event);
    const std::string say = happening(event.body);
    line.text =
        padded(std::to_string(event.sequence), 7) + readable(event.at) + "  " + padded(kind, 10) + say;
    line.object = record::to_json(event);
    // Rules and settings would bury everything else; their hash tells them apart.
    if (kind == "text") line.object["body"].erase("text");
    line.object["say"] = say;
    if (follows_) follow(event, line);
    return line;
}

void EventLines::follow(const record::Event& event, Line& line) {
    std::vector<Outcome> outcomes;
    try {
        outcomes = pipeline_.apply(event);
    } catch (const std::runtime_error& bad) {
        follows_ = false;
        const std::string say =
            std::string("this program cannot use it, and tells no pairs from here on: ") + bad.what();
        line.text += "  > " + escaped(say);
        line.object["said"].push_back(say);
        return;
    }
    std::set<std::int64_t> told_pairs;
    for (const Outcome& outcome : outcomes) {
        if (outcome.what == Outcome::What::label_void) {
            line.text += "  > label " + escaped(outcome.text) + " is void";
            line.object["void"].push_back(outcome.text);
        } else if (outcome.what == Outcome::What::said) {
            line.text += "  > " + escaped(outcome.text);
            line.object["said"].push_back(outcome.text);
        } else if (told_pairs.insert(outcome.pair).second) {
            const record::Pair* pair = pipeline_.table().find(outcome.pair);
            if (pair == nullptr) continue;
            const std::string state(record::word(pair->state));
            const std::string& number = pipeline_.table().number(pair->id);
            line.text += "  > pair " + std::to_string(pair->id) + " " + state;
            json object{{"pair", pair->id}, {"state", state}, {"number", number}};
            if (pair->state != record::PairState::open && pair->state != record::PairState::gone) {
                const record::Verdict verdict = pipeline_.verdict(*pair);
                const std::string decision(record::word(verdict.decision));
                line.text += ", " + decision + ", " + escaped(verdict.tray);
                object["verdict"] = decision;
                object["tray"] = verdict.tray;
            }
            if (!number.empty()) line.text += ", label " + escaped(number);
            line.object["pairs"].push_back(std::move(object));
        }
    }
}

}  // namespace pairmark::bench
